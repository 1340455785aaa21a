import { blueNoise } from "./blue-noise.ts";
import { jointNoise } from "./joint-noise.ts";

/** Pixels along a side of the masks of stochastic screens. */
export const NOISE_SIDE = 128;
/** How many there are, each jointly blue with those before it. More would be less blue, and take longer. */
export const MASKS = 4;
/** Further plates have the masks shifted, which chance has them overlap too. */
const SHIFT = { x: 57, y: 41 } as const;

/** Ranks that `noiseAt` gives: 0 up to one less. */
export const NOISE_LEVELS = NOISE_SIDE ** 2;

const made: Uint16Array[] = [];

/** The ranks of a stochastic screen's mask, whose shift is in `placeIn`. */
export function noiseOf(mask: number): Uint16Array {
  const own = mask % MASKS;
  while (made.length <= own)
    made.push(made.length === 0 ? blueNoise(NOISE_SIDE) : jointNoise(NOISE_SIDE, made));
  return made[own]!;
}

/** Where in the ranks of a mask the pixel x, y of a film lies; the mask repeats. */
export function placeIn(mask: number, x: number, y: number): number {
  const shifts = Math.floor(mask / MASKS);
  return ((y + shifts * SHIFT.y) % NOISE_SIDE) * NOISE_SIDE + ((x + shifts * SHIFT.x) % NOISE_SIDE);
}

/** Rank of a place in the mask of a number. */
export function noiseAt(mask: number, x: number, y: number): number {
  return noiseOf(mask)[placeIn(mask, x, y)]!;
}
