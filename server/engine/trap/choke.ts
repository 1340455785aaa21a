import { kernelOf } from "../kernel.ts";
import type { Tones } from "../raster.ts";
import { type Disc, disc } from "./disc.ts";
import { LOWER_MODULE } from "./generated/lower.ts";

/**
 * Choke: draws a plate's edges in by `radius` pixels; nothing prints outside of the picture, so its
 * borders are edges too. Each tone becomes the least one under a round brush (`disc`). Writes to `out`, another
 * buffer than `tones`.
 */
export function choke(tones: Tones, width: number, height: number, radius: number, out: Tones): void {
  erode(tones, width, height, disc(radius), 0, out);
}

/** Spread: pushes a plate's edges out by `radius` pixels: the choke of what does not print. */
export function spread(tones: Tones, width: number, height: number, radius: number, out: Tones): void {
  erode(tones, width, height, disc(radius), 255, out);
}

/**
 * Grey erosion, row by row. `flip` 255 turns tones into their complements on the way in and out, which makes it a
 * dilation. What lies outside counts as tone 0.
 */
function erode(tones: Tones, width: number, height: number, brush: Disc, flip: 0 | 255, out: Tones): void {
  const rows = new Rows(width, height, brush, flip);
  const reach = brush.rows - 1;
  for (let y = 0; y < height + reach; y++) {
    if (y < height) {
      rows.begin(y);
      rows.take(y, tones.subarray(y * width, (y + 1) * width));
    }
    // Nothing further down reaches this row.
    if (y >= reach) rows.finish(y - reach, out.subarray((y - reach) * width, (y - reach + 1) * width));
  }
}

/** The compiled loops (lower.wat). */
interface Loops {
  lower(to: number, from: number, dx: number, adds: number, count: number): void;
  complement(at: number, count: number): void;
}

const loopsWith = kernelOf<Loops>(LOWER_MODULE);

/** One row of memory after the other, each padded so that it is read and written in whole steps. */
const STEP = 16;

/**
 * The rows that are under way. Every row that comes in is eroded along its length by each row of the brush, and lowers
 * those rows of the result that lie so far above and below.
 */
class Rows {
  readonly #height: number;
  readonly #brush: Disc;
  readonly #flip: 0 | 255;
  /** Bytes of a row. */
  readonly #stride: number;
  readonly #loops: Loops;
  readonly #bytes: Uint8Array;
  /** Places in memory: the row that comes in, with what is outside on either side; it under the brush; the results. */
  readonly #source: number;
  readonly #run: number;
  readonly #eroded: number;
  readonly #results: number;

  constructor(width: number, height: number, brush: Disc, flip: 0 | 255) {
    const stride = STEP * Math.ceil(width / STEP);
    const margin = STEP * Math.ceil(brush.rows / STEP);
    this.#height = height;
    this.#brush = brush;
    this.#flip = flip;
    this.#stride = stride;
    this.#source = margin;
    this.#run = margin + stride + margin;
    this.#eroded = this.#run + stride;
    this.#results = this.#eroded + stride;
    const kernel = loopsWith(this.#results + stride * (2 * brush.rows - 1));
    this.#loops = kernel;
    this.#bytes = new Uint8Array(kernel.memory.buffer);
    this.#bytes.fill(flip, 0, this.#run);
  }

  /** Makes room for the results that this row is the first to reach. */
  begin(y: number): void {
    const reach = this.#brush.rows - 1;
    const last = Math.min(this.#height - 1, y + reach);
    for (let row = y === 0 ? 0 : y + reach; row <= last; row++) {
      const at = this.#result(row);
      this.#bytes.fill(255, at, at + this.#stride);
      for (let dy = Math.min(row, this.#height - 1 - row) + 1; dy <= reach; dy++)
        this.#lowerByOutside(at, dy);
    }
  }

  /** A row of the plate, which lowers what it reaches. */
  take(y: number, tones: Tones): void {
    const { rows, full, rim } = this.#brush;
    const bytes = this.#bytes;
    const source = this.#source;
    const stride = this.#stride;
    const { lower, complement } = this.#loops;
    bytes.set(tones, source);
    if (this.#flip) {
      complement(source, tones.length);
      bytes.fill(this.#flip, source + tones.length, source + stride);
    }
    const run = this.#run;
    bytes.fill(255, run, run + stride);
    // The brush's rows shrink with dy: going up from its ends, each run widens the one before.
    let half = -1;
    for (let dy = rows - 1; dy >= 0; dy--) {
      while (half < full[dy]!) lower(run, source, ++half, 0, stride);
      let eroded = run;
      if (rim[dy]!.length > 0) {
        eroded = this.#eroded;
        bytes.copyWithin(eroded, run, run + stride);
        for (const { dx, adds } of rim[dy]!) lower(eroded, source, dx, adds, stride);
      }
      if (y >= dy) lower(this.#result(y - dy), eroded, 0, 0, stride);
      if (dy > 0 && y + dy < this.#height) lower(this.#result(y + dy), eroded, 0, 0, stride);
    }
  }

  /** Hands out a row that nothing reaches any more. */
  finish(y: number, out: Tones): void {
    const at = this.#result(y);
    if (this.#flip) this.#loops.complement(at, this.#stride);
    out.set(this.#bytes.subarray(at, at + out.length));
  }

  #result(y: number): number {
    return this.#results + this.#stride * (y % (2 * this.#brush.rows - 1));
  }

  /** Rows outside of the picture are of one tone: a row of the brush that is all rim raises it. */
  #lowerByOutside(at: number, dy: number): void {
    const { full, rim } = this.#brush;
    const raised = full[dy]! >= 0 ? 0 : (rim[dy]![0]?.adds ?? 255);
    const tone = Math.min(255, this.#flip + raised);
    this.#bytes.fill(tone, this.#eroded, this.#eroded + this.#stride);
    this.#loops.lower(at, this.#eroded, 0, 0, this.#stride);
  }
}
