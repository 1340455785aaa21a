import type { Mask, MaskRow } from "./mask.ts";

/** Errors are still diffused, so tones hold; textures that two plates would share break up. */
const UNREST = 0.3;
const ALWAYS = -1;
const NEVER = 0x7fff;

/**
 * Error diffusion over grains: what a grain gives too much or too little goes to its neighbours, 7, 3, 5 and 1
 * sixteenths (Floyd and Steinberg, 1976), every other row from right to left, about a threshold that each plate moves in
 * its own way.
 */
export class Diffusion implements Mask {
  readonly carries = true;
  readonly #grain: number;
  readonly #curve: Float64Array;
  readonly #filmWidth: number;
  readonly #mask: number;
  #errors: Float64Array;
  #row = -1;
  #decided: MaskRow | undefined;

  constructor(grain: number, curve: Float64Array, filmWidth: number, mask: number) {
    this.#mask = mask;
    this.#grain = grain;
    this.#curve = curve;
    this.#filmWidth = filmWidth;
    this.#errors = new Float64Array(Math.ceil(filmWidth / grain) + 2);
  }

  row(y: number, toneAt: (x: number) => number): MaskRow {
    const row = Math.floor(y / this.#grain);
    if (row !== this.#row || !this.#decided) {
      this.#row = row;
      this.#decided = { from: this.#decide(row, toneAt), offset: 0 };
    }
    return this.#decided;
  }

  #decide(row: number, toneAt: (x: number) => number): Int16Array {
    const grain = this.#grain;
    const from = new Int16Array(this.#filmWidth);
    const here = this.#errors;
    const next = new Float64Array(here.length);
    const cells = here.length - 2;
    const back = row % 2 === 1;
    const step = back ? -1 : 1;
    for (let k = 0; k < cells; k++) {
      const cell = back ? cells - 1 - k : k;
      const middle = Math.min(cell * grain + (grain >> 1), from.length - 1);
      const tone = this.#curve[Math.round(toneAt(middle))]!;
      // Nothing and solid take no error in and give none on: they stay as they are.
      const flat = tone === 0 || tone === 1;
      const wanted = flat ? tone : tone + here[cell + 1]!;
      const ink = wanted >= 0.5 + this.#unrest(cell, row) ? 1 : 0;
      from.fill(ink === 1 ? ALWAYS : NEVER, cell * grain, (cell + 1) * grain);
      const error = flat ? 0 : wanted - ink;
      here[cell + 1 + step]! += (error * 7) / 16;
      next[cell + 1 - step]! += (error * 3) / 16;
      next[cell + 1]! += (error * 5) / 16;
      next[cell + 1 + step]! += error / 16;
    }
    this.#errors = next;
    return from;
  }

  /** What each plate's decisions are moved by, so that those of two plates have nothing in common: ±UNREST. */
  #unrest(cell: number, row: number): number {
    let hash =
      Math.imul(cell + 1, 0x9e3779b1) ^
      Math.imul(row + 1, 0x85ebca6b) ^
      Math.imul(this.#mask + 1, 0xc2b2ae35);
    hash = Math.imul(hash ^ (hash >>> 15), 0x2c1b3c6d);
    hash = Math.imul(hash ^ (hash >>> 12), 0x297a2d39);
    return UNREST * (2 * (((hash ^ (hash >>> 15)) >>> 0) / 2 ** 32) - 1);
  }
}
