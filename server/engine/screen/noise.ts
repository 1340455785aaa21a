import { NOISE } from "./generated/masks.ts";
import { NOISE_SIDE } from "./joint-noise.ts";

// The engine is typechecked without a browser's or Node's types, and both have it.
declare const atob: (text: string) => string;

/** Further plates have the masks shifted, which chance has them overlap too. */
const SHIFT = { x: 57, y: 41 } as const;

/** Ranks that `noiseAt` gives: 0 up to one less. */
export const NOISE_LEVELS = NOISE_SIDE ** 2;

const read: Uint16Array[] = [];

/** The ranks of a stochastic screen's mask, whose shift is in `placeIn`. */
export function noiseOf(mask: number): Uint16Array {
  const own = mask % NOISE.length;
  read[own] ??= ranksOf(NOISE[own]!);
  return read[own];
}

/** Where in the ranks of a mask the pixel x, y of a film lies; the mask repeats. */
export function placeIn(mask: number, x: number, y: number): number {
  const shifts = Math.floor(mask / NOISE.length);
  return ((y + shifts * SHIFT.y) % NOISE_SIDE) * NOISE_SIDE + ((x + shifts * SHIFT.x) % NOISE_SIDE);
}

/** Rank of a place in the mask of a number. */
export function noiseAt(mask: number, x: number, y: number): number {
  return noiseOf(mask)[placeIn(mask, x, y)]!;
}

function ranksOf(text: string): Uint16Array {
  const bytes = atob(text);
  return Uint16Array.from(
    { length: bytes.length / 2 },
    (_, at) => bytes.charCodeAt(2 * at) + 256 * bytes.charCodeAt(2 * at + 1),
  );
}
