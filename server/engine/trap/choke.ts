import type { Tones } from "../raster.ts";
import { type Disc, disc } from "./disc.ts";

/** Columns looked at together when deciding whether anything can change. */
const TILE = 64;

/**
 * Stage 5, choke: draws a plate's edges in by `radius` pixels; nothing prints outside of the picture, so its
 * borders are edges too. Each tone becomes the least one under a round brush (`disc`). Writes to `out`, another
 * buffer than `tones`.
 */
export function choke(tones: Tones, width: number, height: number, radius: number, out: Tones): void {
  erode(tones, width, height, disc(radius), 0, out);
}

/** Stage 5, spread: pushes a plate's edges out by `radius` pixels: the choke of what does not print. */
export function spread(tones: Tones, width: number, height: number, radius: number, out: Tones): void {
  erode(tones, width, height, disc(radius), 255, out);
}

/**
 * Grey erosion, row by row. `flip` 255 turns tones into their complements on the way in and out, which makes it a
 * dilation. What lies outside counts as tone 0.
 */
function erode(tones: Tones, width: number, height: number, brush: Disc, flip: 0 | 255, out: Tones): void {
  if (brush.rows === 2) {
    erodeByNeighbours(tones, width, height, brush, flip, out);
    return;
  }
  const reach = brush.rows - 1;
  const window = new RowWindow(tones, width, height, brush, flip);
  const tiles = Math.ceil(width / TILE);
  for (let y = 0; y < height; y++) {
    window.advance(y);
    const row = y * width;
    for (let tile = 0; tile < tiles; tile++) {
      const x0 = tile * TILE;
      const x1 = Math.min(width, x0 + TILE);
      const same = window.uniform(y, tile);
      if (same >= 0) {
        out.fill(same ^ flip, row + x0, row + x1);
        continue;
      }
      out.fill(255, row + x0, row + x1);
      for (let dy = -reach; dy <= reach; dy++) {
        const eroded = window.row(y + dy, Math.abs(dy));
        for (let x = x0; x < x1; x++) {
          const v = eroded[x]!;
          if (v < out[row + x]!) out[row + x] = v;
        }
      }
      if (flip) for (let x = x0; x < x1; x++) out[row + x] = 255 - out[row + x]!;
    }
  }
}

/**
 * The same for a radius up to one pixel, as previews have: the brush holds a pixel's eight neighbours at most.
 */
function erodeByNeighbours(
  tones: Tones,
  width: number,
  height: number,
  { full, rim }: Disc,
  flip: 0 | 255,
  out: Tones,
): void {
  const adds = (dy: number, dx: number) =>
    dx <= full[dy]! ? 0 : (rim[dy]!.find((part) => part.dx === dx)?.adds ?? 255);
  const beside = adds(0, 1);
  const across = adds(1, 1);
  // Three rows with a column outside of the picture on either side, complemented for a spread.
  const read = (row: Uint8Array<ArrayBuffer>, y: number) => {
    row.fill(flip);
    if (y < 0 || y >= height) return row;
    const start = y * width;
    if (flip) for (let x = 0; x < width; x++) row[x + 1] = 255 - tones[start + x]!;
    else row.set(tones.subarray(start, start + width), 1);
    return row;
  };
  let above = read(new Uint8Array(width + 2), -1);
  let here = read(new Uint8Array(width + 2), 0);
  let below = new Uint8Array(width + 2);
  for (let y = 0; y < height; y++) {
    read(below, y + 1);
    const start = y * width;
    for (let x = 0; x < width; x++) {
      let least = here[x + 1]!;
      if (least > 0) {
        // Plain comparisons: this loop is most of what an edit of a knocked-out plate costs.
        if (here[x]! + beside < least) least = here[x]! + beside;
        if (here[x + 2]! + beside < least) least = here[x + 2]! + beside;
        if (above[x + 1]! + beside < least) least = above[x + 1]! + beside;
        if (below[x + 1]! + beside < least) least = below[x + 1]! + beside;
        if (across < least) {
          if (above[x]! + across < least) least = above[x]! + across;
          if (above[x + 2]! + across < least) least = above[x + 2]! + across;
          if (below[x]! + across < least) least = below[x]! + across;
          if (below[x + 2]! + across < least) least = below[x + 2]! + across;
        }
      }
      out[start + x] = least ^ flip;
    }
    [above, here, below] = [here, below, above];
  }
}

/** The rows around the current one, each eroded along its length by every row of the brush, worked out once. */
class RowWindow {
  readonly #tones: Tones;
  readonly #width: number;
  readonly #height: number;
  readonly #brush: Disc;
  readonly #flip: 0 | 255;
  readonly #slots: number;
  /** `#eroded[slot][dy]`: a source row under the brush's row dy. */
  readonly #eroded: Uint8Array[][];
  /** The one tone of each tile and its neighbours within reach, or −1, a row a slot. */
  readonly #plain: Int16Array[];
  readonly #padded: Uint8Array;
  /** The same row, four columns a word. */
  readonly #words: Uint32Array;
  readonly #run: Uint8Array;
  /** A row outside of the picture, under each row of the brush. */
  readonly #outside: readonly Uint8Array[];
  #next: number;

  constructor(tones: Tones, width: number, height: number, brush: Disc, flip: 0 | 255) {
    this.#tones = tones;
    this.#width = width;
    this.#height = height;
    this.#brush = brush;
    this.#flip = flip;
    this.#slots = 2 * brush.rows - 1;
    const rows = <T>(make: () => T): T[] => Array.from({ length: this.#slots }, make);
    this.#eroded = rows(() => Array.from({ length: brush.rows }, () => new Uint8Array(width)));
    const tiles = Math.ceil(width / TILE);
    this.#plain = rows(() => new Int16Array(tiles));
    this.#words = new Uint32Array(Math.ceil((width + 2 * brush.rows) / 4));
    this.#padded = new Uint8Array(this.#words.buffer).fill(flip);
    this.#run = new Uint8Array(width);
    this.#outside = Array.from({ length: brush.rows }, (_, dy) =>
      new Uint8Array(width).fill(plain(flip, brush, dy)),
    );
    this.#next = 0;
  }

  /** Reads the source rows that row `y` needs. */
  advance(y: number): void {
    const last = Math.min(this.#height - 1, y + this.#brush.rows - 1);
    while (this.#next <= last) this.#read(this.#next++);
  }

  row(y: number, dy: number): Uint8Array {
    if (y < 0 || y >= this.#height) return this.#outside[dy]!;
    return this.#eroded[y % this.#slots]![dy]!;
  }

  /** The one tone that stands under the brush everywhere in the tile, or −1. */
  uniform(y: number, tile: number): number {
    const reach = this.#brush.rows - 1;
    const tone = this.#plainAt(y - reach, tile);
    for (let row = y - reach + 1; row <= y + reach && tone >= 0; row++)
      if (this.#plainAt(row, tile) !== tone) return -1;
    return tone;
  }

  #plainAt(row: number, tile: number): number {
    return row < 0 || row >= this.#height ? this.#flip : this.#plain[row % this.#slots]![tile]!;
  }

  #read(y: number): void {
    const { rows } = this.#brush;
    const width = this.#width;
    const padded = this.#padded;
    const start = y * width;
    if (this.#flip) for (let x = 0; x < width; x++) padded[rows + x] = 255 - this.#tones[start + x]!;
    else padded.set(this.#tones.subarray(start, start + width), rows);

    const slot = y % this.#slots;
    const plains = this.#plain[slot]!;
    const eroded = this.#eroded[slot]!;
    for (let tile = 0; tile < plains.length; tile++) {
      const x0 = tile * TILE;
      const x1 = Math.min(width, x0 + TILE);
      const tone = this.#plainIn(x0, x1 + 2 * rows);
      plains[tile] = tone;
      if (tone < 0) this.#erode(x0, x1, eroded);
      else for (const [dy, row] of eroded.entries()) row.fill(plain(tone, this.#brush, dy), x0, x1);
    }
  }

  /** The one tone of all columns of the padded row from `from`, a whole word, up to `to`; −1 where they differ. */
  #plainIn(from: number, to: number): number {
    const padded = this.#padded;
    const words = this.#words;
    const tone = padded[from]!;
    const word = Math.imul(tone, 0x01010101) >>> 0;
    const whole = to >> 2;
    for (let w = from >> 2; w < whole; w++) if (words[w] !== word) return -1;
    for (let x = whole << 2; x < to; x++) if (padded[x] !== tone) return -1;
    return tone;
  }

  /** The columns x0 up to x1 under every row of the brush. */
  #erode(x0: number, x1: number, eroded: readonly Uint8Array[]): void {
    const { rows, full, rim } = this.#brush;
    const padded = this.#padded;
    // The brush's rows shrink with dy: going up from its ends, each run widens the one before.
    const run = this.#run.fill(255, x0, x1);
    let half = -1;
    for (let dy = rows - 1; dy >= 0; dy--) {
      while (half < full[dy]!) least(padded, rows, ++half, 0, run, x0, x1);
      const row = eroded[dy]!;
      for (let x = x0; x < x1; x++) row[x] = run[x]!;
      for (const { dx, adds } of rim[dy]!) least(padded, rows, dx, adds, row, x0, x1);
    }
  }
}

/** Lowers `out` to the tones `dx` to the left and right, each raised by `adds`. */
function least(
  padded: Uint8Array,
  margin: number,
  dx: number,
  adds: number,
  out: Uint8Array,
  x0: number,
  x1: number,
): void {
  for (let x = x0; x < x1; x++) {
    const v = Math.min(padded[margin + x - dx]!, padded[margin + x + dx]!) + adds;
    if (v < out[x]!) out[x] = v;
  }
}

/** One tone everywhere, under one row of the brush: a row that is all rim raises it. */
function plain(tone: number, { full, rim }: Disc, dy: number): number {
  return full[dy]! >= 0 ? tone : Math.min(255, tone + (rim[dy]![0]?.adds ?? 255));
}
