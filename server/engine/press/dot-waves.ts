import { memo } from "../memo.ts";
import { levelsOf, SIDE, STEPS } from "../print/dot-overlap.ts";
import type { DotName } from "../screen/spot-functions.ts";

/** A dot screen. */
export interface DotScreen {
  readonly rulingLpi: number;
  /** Degrees. */
  readonly angle: number;
  readonly dot: DotName;
}

/** Harmonics that are looked at: whole combinations of a screen's two rows, each up to this many times its ruling. */
export const HARMONICS = 6;
const ROW = 2 * HARMONICS + 1;
/** Areas that a dot's waves are known for, spread evenly: the middles of so many parts of 0–1. */
export const AREAS = 16;

/**
 * The plane waves that a dot screen is the sum of (Fourier's coefficients of its dot, of the spot function itself).
 * `at(i, j, part)`: amplitude of wave (i, j), as area 0–1, of the dot whose area is the middle of part 0 up to AREAS − 1;
 * a wave stands for itself and its opposite, so it moves the area by twice that up and down.
 */
export class DotWaves {
  readonly #amplitudes: readonly Float64Array[];

  constructor(dot: DotName) {
    const levels = levelsOf(dot);
    this.#amplitudes = Array.from({ length: AREAS }, (_, part) =>
      amplitudes(levels, ((part + 0.5) / AREAS) * STEPS),
    );
  }

  at(i: number, j: number, part: number): number {
    return this.#amplitudes[part]![(i + HARMONICS) * ROW + j + HARMONICS]!;
  }

  /** The greatest at any area. */
  most(i: number, j: number): number {
    return Math.max(...this.#amplitudes.map((waves) => waves[(i + HARMONICS) * ROW + j + HARMONICS]!));
  }
}

/** A few milliseconds each, and there are as many as dots have names. */
export const dotWaves = memo(8, (dot: DotName) => new DotWaves(dot));

/** Fourier's sums over the places of a cell that are ink, rows first. */
function amplitudes(levels: Uint8Array, until: number): Float64Array {
  const out = new Float64Array(ROW * ROW);
  const re = new Float64Array(SIDE);
  const im = new Float64Array(SIDE);
  for (let i = -HARMONICS; i <= HARMONICS; i++) {
    re.fill(0);
    im.fill(0);
    for (let y = 0; y < SIDE; y++)
      for (let x = 0; x < SIDE; x++) {
        if (levels[y * SIDE + x]! >= until) continue;
        const turn = (-2 * Math.PI * i * x) / SIDE;
        re[y]! += Math.cos(turn);
        im[y]! += Math.sin(turn);
      }
    for (let j = -HARMONICS; j <= HARMONICS; j++) {
      let a = 0;
      let b = 0;
      for (let y = 0; y < SIDE; y++) {
        // Rows of the cell run downwards, angles turn upwards.
        const turn = (2 * Math.PI * j * y) / SIDE;
        a += re[y]! * Math.cos(turn) - im[y]! * Math.sin(turn);
        b += re[y]! * Math.sin(turn) + im[y]! * Math.cos(turn);
      }
      out[(i + HARMONICS) * ROW + j + HARMONICS] = Math.hypot(a, b) / (SIDE * SIDE);
    }
  }
  return out;
}
