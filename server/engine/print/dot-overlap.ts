import { type DotName, spotFunction } from "../screen/spot-functions.ts";

/** Places along a side of the cell that dots are looked at in, and the steps that a tone's way from 0 to 1 has. */
export const SIDE = 64;
const PLACES = SIDE * SIDE;
export const STEPS = 256;
const ROW = STEPS + 1;
/** Places of the cell that one step of tone covers. */
const PER_STEP = PLACES / STEPS;

/** A Gaussian is nothing beyond so many standard deviations. */
const REACH = 4.5;

/**
 * How much of its cell two dots of one lattice share when their plates lie off by chance: the overlap of the dot of one
 * tone with the dot of another, of which one is blurred by the register. Symmetric; without any blur the lesser tone.
 */
export class DotOverlap {
  /** `values[ROW · i + j]`: the overlap of tones i / STEPS and j / STEPS. */
  readonly #values: Float32Array | undefined;

  /** `register`: standard deviation of a plate's place on each axis, as a share of the pitch. */
  constructor(dot: DotName, register: number) {
    const blur = blurred(register);
    this.#values = blur * SIDE < SHARP ? undefined : overlaps(levelsOf(dot), blur * SIDE);
  }

  /** The area, 0–1, that dots of tones a and t, 0–1, have in common. */
  at(a: number, t: number): number {
    const values = this.#values;
    if (!values) return Math.min(a, t);
    const x = a * STEPS;
    const y = t * STEPS;
    const i = Math.min(STEPS - 1, Math.floor(x));
    const j = Math.min(STEPS - 1, Math.floor(y));
    const p = i * ROW + j;
    const v = y - j;
    const low = values[p]! + (values[p + 1]! - values[p]!) * v;
    const high = values[p + ROW]! + (values[p + ROW + 1]! - values[p + ROW]!) * v;
    return low + (high - low) * (x - i);
  }
}

/** Standard deviations, in places of the cell, under which a blur shows nowhere. */
const SHARP = 0.2;

/**
 * The blur that stands for two plates' misregistration where only one dot is blurred: between plates all of them move,
 * but a level of the lattice stays a level. Fitted to the exact mean of random tones of two to four plates, in six shapes.
 */
function blurred(register: number): number {
  return Math.min(1, 0.84 + 0.65 * register) * register;
}

/** Turns of a dot, in degrees, after which it is the same: 90, 180, or none but the full one. */
export function symmetryOf(dot: DotName): 90 | 180 | 360 {
  const f = spotFunction(dot);
  const same = (turned: (x: number, y: number) => number): boolean => {
    for (let y = -0.95; y < 1; y += 0.1)
      for (let x = -0.95; x < 1; x += 0.1) if (Math.abs(f(x, y) - turned(x, y)) > 1e-9) return false;
    return true;
  };
  if (same((x, y) => f(-y, x))) return 90;
  return same((x, y) => f(-x, -y)) ? 180 : 360;
}

/** The step of tone, 0 up to STEPS − 1, in which each place of the cell turns to ink. */
export function levelsOf(dot: DotName): Uint8Array {
  const spot = spotFunction(dot);
  const values = new Float32Array(PLACES);
  const turns = new Float64Array(PLACES);
  for (let y = 0, at = 0; y < SIDE; y++)
    for (let x = 0; x < SIDE; x++, at++) {
      values[at] = spot((2 * x + 1) / SIDE - 1, 1 - (2 * y + 1) / SIDE);
      // Places of one value, as along a line, turn in an order that spreads over the cell (Roberts 2018, R2).
      turns[at] = (x * 0.7548776662466927 + y * 0.5698402909980532) % 1;
    }
  const order = Uint16Array.from({ length: PLACES }, (_, at) => at);
  order.sort((p, q) => values[q]! - values[p]! || turns[p]! - turns[q]! || p - q);
  const levels = new Uint8Array(PLACES);
  for (let rank = 0; rank < PLACES; rank++) levels[order[rank]!] = Math.floor(rank / PER_STEP);
  return levels;
}

/** Every pair of places, weighed by how often a plate lies off by what is between them, summed up over both tones. */
function overlaps(levels: Uint8Array, deviation: number): Float32Array {
  const weights = wrappedGaussian(deviation);
  const sums = new Float64Array(ROW * ROW);
  for (let dy = 0; dy < SIDE; dy++) {
    for (let dx = 0; dx < SIDE; dx++) {
      const weight = (weights[dx]! * weights[dy]!) / PLACES;
      if (weight === 0) continue;
      for (let y = 0; y < SIDE; y++) {
        const row = y * SIDE;
        const other = ((y + dy) % SIDE) * SIDE;
        for (let x = 0; x < SIDE; x++) {
          const beside = levels[other + ((x + dx) % SIDE)]!;
          sums[(levels[row + x]! + 1) * ROW + beside + 1]! += weight;
        }
      }
    }
  }
  for (let i = 1; i < ROW; i++) {
    let along = 0;
    for (let j = 1; j < ROW; j++) {
      along += sums[i * ROW + j]!;
      sums[i * ROW + j] = along + sums[(i - 1) * ROW + j]!;
    }
  }
  return Float32Array.from(sums);
}

/** Weights of the distances 0 up to SIDE − 1 around a cell, which sum to 1; 0 where they are next to nothing. */
function wrappedGaussian(deviation: number): Float64Array {
  const weights = new Float64Array(SIDE);
  const reach = Math.ceil(REACH * deviation);
  for (let d = -reach; d <= reach; d++)
    weights[((d % SIDE) + SIDE) % SIDE]! += Math.exp(-(d * d) / (2 * deviation * deviation));
  const sum = weights.reduce((all, weight) => all + weight, 0);
  return weights.map((weight) => weight / sum);
}
