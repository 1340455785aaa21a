import type { LinearRgb } from "../../../server/engine/colour/cielab.ts";

/** Inks in light: a white garment, black, red, green and a grey that is none of their mixtures' nearest. */
export const LIGHTS: readonly LinearRgb[] = [
  { r: 0.9, g: 0.9, b: 0.88 },
  { r: 0.01, g: 0.01, b: 0.012 },
  { r: 0.6, g: 0.02, b: 0.03 },
  { r: 0.05, g: 0.4, b: 0.1 },
  { r: 0.3, g: 0.31, b: 0.3 },
];
