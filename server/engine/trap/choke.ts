import { kernelOf } from "../kernel.ts";
import type { Tones } from "../raster.ts";
import { type Disc, disc } from "./disc.ts";
import { LOWER_MODULE } from "./generated/lower.ts";

/**
 * Choke: draws a plate's edges in by `radius` pixels; nothing prints outside of the picture, so its
 * borders are edges too. Each tone becomes the least one under a round brush (`disc`); a tone on an edge counts as the
 * share of its pixel that the edge leaves to ink, so that edges move by the true distance, fractions of a pixel too.
 * Writes to `out`, another buffer than `tones`.
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
  const rowOf = (y: number) => (y < height ? tones.subarray(y * width, (y + 1) * width) : undefined);
  rows.read(rowOf(0));
  for (let y = 0; y < height + reach; y++) {
    if (y < height) {
      rows.begin(y);
      rows.read(rowOf(y + 1));
      rows.take(y);
    }
    // Nothing further down reaches this row.
    if (y >= reach) rows.finish(y - reach, out.subarray((y - reach) * width, (y - reach + 1) * width));
  }
}

/** The compiled loops (lower.wat). */
interface Loops {
  floors(out: number, above: number, row: number, below: number, count: number): void;
  midpoints(
    out: number,
    floors: number,
    above: number,
    aboveFloors: number,
    below: number,
    belowFloors: number,
    count: number,
  ): void;
  sink(to: number, before: number, behind: number, floors: number, takes: number, count: number): void;
  lower(to: number, before: number, behind: number, adds: number, count: number): void;
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
  readonly #width: number;
  readonly #height: number;
  readonly #brush: Disc;
  readonly #flip: 0 | 255;
  /** Bytes of a row. */
  readonly #stride: number;
  readonly #loops: Loops;
  readonly #bytes: Uint8Array;
  /**
   * Places in memory, each with what is outside on either side: three rows, of which the second is at work; its floors
   * and the first one's; midpoints between these two and theirs; the row at work under the brush; the results.
   */
  readonly #above: number;
  readonly #source: number;
  readonly #below: number;
  readonly #floors: number;
  readonly #aboveFloors: number;
  readonly #middle: number;
  readonly #middleFloors: number;
  readonly #run: number;
  readonly #eroded: number;
  readonly #results: number;

  constructor(width: number, height: number, brush: Disc, flip: 0 | 255) {
    const stride = STEP * Math.ceil(width / STEP);
    const margin = STEP * Math.ceil(brush.rows / STEP);
    this.#width = width;
    this.#height = height;
    this.#brush = brush;
    this.#flip = flip;
    this.#stride = stride;
    const padded = margin + stride + margin;
    this.#above = margin;
    this.#source = this.#above + padded;
    this.#below = this.#source + padded;
    this.#floors = this.#below + padded;
    this.#aboveFloors = this.#floors + padded;
    this.#middle = this.#aboveFloors + padded;
    this.#middleFloors = this.#middle + padded;
    this.#run = this.#middleFloors + stride + margin;
    this.#eroded = this.#run + stride;
    this.#results = this.#eroded + stride;
    const kernel = loopsWith(this.#results + stride * (2 * brush.rows - 1));
    this.#loops = kernel;
    this.#bytes = new Uint8Array(kernel.memory.buffer);
    this.#bytes.fill(flip, 0, this.#middle - margin);
    this.#bytes.fill(255, this.#middle - margin, this.#run);
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

  /** The next row of the plate comes in below; beyond the last one nothing prints. */
  read(tones: Tones | undefined): void {
    const bytes = this.#bytes;
    const stride = this.#stride;
    bytes.copyWithin(this.#above, this.#source, this.#source + stride);
    bytes.copyWithin(this.#source, this.#below, this.#below + stride);
    bytes.fill(this.#flip, this.#below, this.#below + stride);
    if (!tones) return;
    bytes.set(tones, this.#below);
    if (!this.#flip) return;
    this.#loops.complement(this.#below, tones.length);
    bytes.fill(this.#flip, this.#below + tones.length, this.#below + stride);
  }

  /** The row at work lowers what it reaches. */
  take(y: number): void {
    const { rows, full, rim } = this.#brush;
    const bytes = this.#bytes;
    const source = this.#source;
    const stride = this.#stride;
    const { floors, lower } = this.#loops;
    bytes.copyWithin(this.#aboveFloors, this.#floors, this.#floors + stride);
    floors(this.#floors, this.#above, source, this.#below, stride);
    bytes.fill(this.#flip, this.#floors + this.#width, this.#floors + stride);
    const run = this.#run;
    bytes.fill(255, run, run + stride);
    // The brush's rows shrink with dy: going up from its ends, each run widens the one before.
    let half = -1;
    for (let dy = rows - 1; dy >= 0; dy--) {
      for (; half < full[dy]!; half++)
        lower(run, this.#floors - half - 1, this.#floors + half + 1, 0, stride);
      let eroded = run;
      if (rim[dy]!.length > 0) {
        eroded = this.#eroded;
        bytes.copyWithin(eroded, run, run + stride);
        for (const { dx, adds } of rim[dy]!)
          this.#lowerFrom(source - dx, source + dx, this.#floors - source, adds);
      }
      this.#lowerRow(y - dy, eroded);
      if (dy > 0) this.#lowerRow(y + dy, eroded);
    }
    if (y > 0 && this.#brush.between.length > 0) this.#takeMidpoints(y);
  }

  /** What lies between the row at work and the one above it lowers what it reaches. */
  #takeMidpoints(y: number): void {
    const stride = this.#stride;
    const middle = this.#middle;
    const behind = this.#middleFloors - middle;
    this.#loops.midpoints(middle, behind, this.#above, this.#aboveFloors, this.#source, this.#floors, stride);
    this.#brush.between.forEach((offsets, dy) => {
      if (offsets.length === 0) return;
      this.#bytes.fill(255, this.#eroded, this.#eroded + stride);
      for (const { dx, adds } of offsets) this.#lowerFrom(middle - dx - 1, middle + dx, behind, adds);
      this.#lowerRow(y - 1 - dy, this.#eroded);
      this.#lowerRow(y + dy, this.#eroded);
    });
  }

  #lowerFrom(before: number, behind: number, floors: number, adds: number): void {
    const stride = this.#stride;
    if (adds < 0) this.#loops.sink(this.#eroded, before, behind, floors, -adds, stride);
    else this.#loops.lower(this.#eroded, before, behind, adds, stride);
  }

  #lowerRow(y: number, eroded: number): void {
    if (y < 0 || y >= this.#height) return;
    const at = this.#result(y);
    this.#loops.lower(at, eroded, eroded, 0, this.#stride);
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

  /** Rows outside of the picture are of one tone: a row of the brush that is all rim moves it. */
  #lowerByOutside(at: number, dy: number): void {
    const { full, rim } = this.#brush;
    const moved = full[dy]! >= 0 ? 0 : (rim[dy]![0]?.adds ?? 255);
    const tone = Math.min(255, this.#flip + Math.max(0, moved));
    this.#bytes.fill(tone, this.#eroded, this.#eroded + this.#stride);
    this.#loops.lower(at, this.#eroded, this.#eroded, 0, this.#stride);
  }
}
