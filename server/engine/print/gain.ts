import type { Curve } from "../adjust/curve.ts";
import { curveFunction } from "../adjust/curve.ts";
import type { Lab } from "../colour/cielab.ts";
import { linearFromLab } from "../colour/cielab.ts";
import { limitTone } from "../press/smallest-dot.ts";
import { root } from "./halftone.ts";

/**
 * Dot gain (tone value increase): printed tone of each film tone, both 0–1, from 0 to 0 up to 1 to 1, rising. Between
 * the measured tones runs a monotone cubic.
 */
export type Gain = Curve;

/** Printed tone of a film tone. */
export function printedTone(gain: Gain): (film: number) => number {
  return curveFunction(gain);
}

/** The film tone that prints as a tone: what films are compensated with. Halving finds it, for the curve rises. */
export function filmTone(gain: Gain): (printed: number) => number {
  const forward = curveFunction(gain);
  return (printed) => {
    if (printed <= 0) return 0;
    if (printed >= 1) return 1;
    let low = 0;
    let high = 1;
    for (let i = 0; i < 40; i++) {
      const middle = (low + high) / 2;
      if (forward(middle) < printed) low = middle;
      else high = middle;
    }
    return (low + high) / 2;
  };
}

/**
 * Film tone 0–1 of every plate tone on films that are compensated: what prints as the plate's, as far as the smallest
 * dot that the screen holds lets them. 256 numbers, from 0 up to 1.
 */
export function compensatedTones(gain: Gain, smallestDot: number): Float64Array {
  const backward = filmTone(gain);
  return Float64Array.from({ length: 256 }, (_, byte) => limitTone(backward(byte / 255), smallestDot));
}

/**
 * Printed area of every plate tone: 256 numbers. Films that are not compensated show the plate's tone as it is.
 */
export function areaTable(gain: Gain | undefined, compensated: boolean, smallestDot: number): Float32Array {
  const plain = (byte: number) => byte / 255;
  if (!gain) return Float32Array.from({ length: 256 }, (_, byte) => plain(byte));
  const forward = printedTone(gain);
  if (!compensated) return Float32Array.from({ length: 256 }, (_, byte) => forward(plain(byte)));
  return Float32Array.from(compensatedTones(gain, smallestDot), forward);
}

/** One step of a printed wedge: its tone on the film, 0–1, and its colour. */
export interface WedgeStep {
  readonly tone: number;
  readonly colour: Lab;
}

/**
 * Printed tones of a measured wedge that has both ends. The printed tone is the area that brings the model nearest to
 * the reading, over three linear bands at once: with a single band it is Murray–Davies (n = 1) or Yule–Nielsen.
 * Throws where both ends are of one colour, from which no area follows.
 */
export function gainFromWedge(steps: readonly WedgeStep[], n = 1): Gain {
  const sorted = [...steps].sort((a, b) => a.tone - b.tone);
  const bands = ({ colour }: WedgeStep) => {
    const { r, g, b } = linearFromLab(colour);
    return [r, g, b].map((v) => root(Math.max(0, v), n));
  };
  const paper = bands(sorted[0]!);
  const solid = bands(sorted.at(-1)!);
  const span = paper.map((v, i) => v - solid[i]!);
  const whole = span.reduce((sum, d) => sum + d * d, 0);
  if (whole === 0) throw new Error("the wedge's solid has the colour of what is bare");
  return sorted.map((step, i) => {
    if (i === 0) return [0, 0] as const;
    if (i === sorted.length - 1) return [1, 1] as const;
    const R = bands(step);
    const along = span.reduce((sum, d, band) => sum + d * (paper[band]! - R[band]!), 0);
    return [step.tone, Math.min(1, Math.max(0, along / whole))] as const;
  });
}
