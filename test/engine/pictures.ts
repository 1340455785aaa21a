import type { Picture } from "../../server/engine/raster.ts";

/** R, G, B and, where the pixel is not opaque, A. */
export type Pixel = readonly [r: number, g: number, b: number, a?: number];

/** Rows of `width` pixels, from the top. */
export function pictureOf(width: number, pixels: readonly Pixel[]): Picture {
  const data = Uint8Array.from(pixels.flatMap(([r, g, b, a = 255]) => [r, g, b, a]));
  return { width, height: pixels.length / width, data };
}

/** The pixels' R, G, B, three bytes each, as a proof has them. */
export function proofOf(pixels: readonly Pixel[]): Uint8Array {
  return Uint8Array.from(pixels.flatMap(([r, g, b]) => [r, g, b].map(Math.floor)));
}

export const WHITE: Pixel = [255, 255, 255];
export const BLACK: Pixel = [0, 0, 0];
export const RED: Pixel = [255, 0, 0];
/** L* 50.03: the 8-bit grey nearest to the middle of CIELAB. */
export const MIDDLE: Pixel = [119, 119, 119];
export const CLEAR: Pixel = [255, 0, 0, 0];
