import { kernelOf } from "../kernel.ts";
import type { Tones } from "../raster.ts";
import { bytesPerRow, type Window } from "./bits.ts";
import { DOTS_MODULE } from "./generated/dots.ts";
import type { MaskRow } from "./mask.ts";

/** The compiled loops (dots.wat). */
interface Loops {
  edges(out: number, tones: number, stride: number, clear: number, solid: number, count: number): number;
  widen(to: number, row: number, places: number, parts: number, count: number): number;
  widenEdges(to: number, row: number, places: number, count: number): void;
  dots(
    out: number,
    above: number,
    below: number,
    part: number,
    from: number,
    period: number,
    count: number,
  ): void;
}

const loopsWith = kernelOf<Loops>(DOTS_MODULE);

/** Pixels that the loops take at once. */
const STEP = 16;
const padded = (count: number) => STEP * Math.ceil(count / STEP);

/** Plate tones, 0–255, that count as nothing and as solid beside an edge. */
const NEARLY_CLEAR = 25;
const NEARLY_SOLID = 230;

/** A row of the plate at the film's resolution, in the loops' memory. */
interface WideRow {
  /** Plate tones × 128, and behind them a byte a pixel that is 255 along edges. */
  readonly at: number;
  readonly tones: Int16Array;
  readonly edges: Uint8Array;
  /** The plate's row that it was made of. */
  row: number;
  empty: boolean;
}

/**
 * A window of the film, row by row: the plate's rows above and below each, widened to the film's pixels, and its bits.
 * All lies in the loops' memory, so only the instance made last may be used.
 */
export class FilmRows {
  readonly #tones: Tones;
  readonly #width: number;
  readonly #height: number;
  readonly #filmHeight: number;
  readonly #loops: Loops;
  /** Pixels of the window's rows, filled up to whole steps. */
  readonly #count: number;
  /** First film pixel of the window. */
  readonly #x: number;
  /** For each pixel where in a row of the plate the one on its left lies, and how far it is from that to the next. */
  readonly #placesAt: number;
  readonly #partsAt: number;
  /** Three of the plate's rows, a step of room on either side of each. */
  readonly #near: Uint8Array;
  readonly #nearAt: number;
  readonly #stride: number;
  /** Where edges run along the middle one of them. */
  readonly #edges: Uint8Array;
  readonly #edgesAt: number;
  #above: WideRow;
  #below: WideRow;
  /** How far, in 32768ths, the film's row lies from the plate's row above to the one below. */
  #part = 0;
  readonly #from: Int16Array;
  readonly #fromAt: number;
  #laid: MaskRow | undefined;
  #period = 0;
  readonly #bits: Uint8Array;
  readonly #bitsAt: number;
  readonly #lastBits: number;

  constructor(
    plate: { readonly tones: Tones; readonly width: number; readonly height: number },
    film: { readonly filmWidth: number; readonly filmHeight: number },
    window: Window,
  ) {
    this.#tones = plate.tones;
    this.#width = plate.width;
    this.#height = plate.height;
    this.#filmHeight = film.filmHeight;
    this.#x = window.x;
    const count = padded(window.width);
    this.#count = count;
    this.#stride = STEP + padded(plate.width) + STEP;
    let size = 0;
    const room = (bytes: number) => {
      const at = size;
      size += padded(bytes);
      return at;
    };
    this.#nearAt = room(3 * this.#stride);
    this.#edgesAt = room(this.#stride);
    this.#placesAt = room(4 * count);
    this.#partsAt = room(2 * count);
    const rows = [room(3 * count), room(3 * count)] as const;
    this.#fromAt = room(2 * (count + STEP));
    this.#bitsAt = room(count >> 3);
    const kernel = loopsWith(size);
    this.#loops = kernel;
    const { buffer } = kernel.memory;
    const wideRow = (at: number): WideRow => ({
      at,
      tones: new Int16Array(buffer, at, count),
      edges: new Uint8Array(buffer, at + 2 * count, count),
      row: -1,
      empty: true,
    });
    layPlaces(
      plate.width / film.filmWidth,
      window,
      new Int32Array(buffer, this.#placesAt, count),
      new Uint16Array(buffer, this.#partsAt, count),
    );
    this.#near = new Uint8Array(buffer, this.#nearAt, 3 * this.#stride);
    this.#edges = new Uint8Array(buffer, this.#edgesAt, this.#stride);
    this.#above = wideRow(rows[0]);
    this.#below = wideRow(rows[1]);
    this.#from = new Int16Array(buffer, this.#fromAt, count + STEP);
    this.#bits = new Uint8Array(buffer, this.#bitsAt, bytesPerRow(window.width));
    this.#lastBits = (0xff << (8 * this.#bits.length - window.width)) & 0xff;
  }

  /** Goes to a row of the film. */
  goTo(y: number): void {
    const last = this.#height - 1;
    // Pixel centres lie over pixel centres; beyond the outermost the outermost counts.
    const at = Math.min(last, Math.max(0, ((y + 0.5) * this.#height) / this.#filmHeight - 0.5));
    const above = Math.floor(at);
    if (this.#below.row === above) [this.#above, this.#below] = [this.#below, this.#above];
    this.#widen(above, this.#above);
    this.#widen(Math.min(last, above + 1), this.#below);
    this.#part = Math.min(32767, Math.round((at - above) * 32768));
  }

  /** Whether nothing prints in this row. */
  get empty(): boolean {
    return this.#above.empty && this.#below.empty;
  }

  /** The plate's tone, 0–255, at a pixel of the window. */
  toneAt(x: number): number {
    const a = this.#above.tones[x]!;
    return (a + (((this.#below.tones[x]! - a) * this.#part + 16384) >> 15)) / 128;
  }

  /** The row's bits, which stand until the next row; `mask` begins at the film's left edge. */
  dots(mask: MaskRow): Uint8Array {
    this.#lay(mask);
    this.#loops.dots(
      this.#bitsAt,
      this.#above.at,
      this.#below.at,
      this.#part,
      this.#fromAt,
      this.#period,
      this.#count,
    );
    this.#bits[this.#bits.length - 1]! &= this.#lastBits;
    return this.#bits;
  }

  /** Lays out as much of a mask's row as repeats, but whole steps at least, and a step more to read on. */
  #lay(mask: MaskRow): void {
    if (mask === this.#laid) return;
    this.#laid = mask;
    const { from, offset } = mask;
    const count = Math.min(this.#count, from.length * Math.ceil(STEP / from.length));
    this.#period = 2 * count;
    let at = (offset + this.#x) % from.length;
    for (let x = 0; x < count + STEP; at = 0) {
      const piece = from.subarray(at, Math.min(from.length, at + count + STEP - x));
      this.#from.set(piece, x);
      x += piece.length;
    }
  }

  #widen(row: number, wide: WideRow): void {
    if (wide.row === row) return;
    const width = this.#width;
    const tones = this.#tones;
    const near = this.#near;
    const edges = this.#edges;
    for (let i = 0; i < 3; i++) {
      const from = Math.min(this.#height - 1, Math.max(0, row - 1 + i)) * width;
      const to = i * this.#stride + STEP;
      near.set(tones.subarray(from, from + width), to);
      // Beyond the outermost pixels the outermost count.
      near[to - 1] = near[to]!;
      near[to + width] = near[to + width - 1]!;
    }
    const middle = this.#stride + STEP;
    const anyEdge = this.#loops.edges(
      this.#edgesAt + STEP,
      this.#nearAt + middle,
      this.#stride,
      NEARLY_CLEAR,
      NEARLY_SOLID,
      padded(width),
    );
    if (anyEdge) {
      edges[STEP - 1] = edges[STEP]!;
      edges[STEP + width] = edges[STEP + width - 1]!;
      this.#loops.widenEdges(wide.at + 2 * this.#count, this.#edgesAt + STEP, this.#placesAt, this.#count);
    } else wide.edges.fill(0);
    const any = this.#loops.widen(wide.at, this.#nearAt + middle, this.#placesAt, this.#partsAt, this.#count);
    wide.row = row;
    wide.empty = any === 0;
  }
}

/**
 * Where each film pixel of a window lies in the plate's rows: the pixel on its left, −1 for the outermost one's own left, and
 * how far, in 32768ths, from that to the next. What is filled up lies where the last one does.
 */
function layPlaces(step: number, { x: x0, width }: Window, places: Int32Array, parts: Uint16Array): void {
  for (let x = 0; x < places.length; x++) {
    const at = (x0 + Math.min(x, width - 1) + 0.5) * step - 0.5;
    places[x] = Math.floor(at);
    parts[x] = Math.floor((at - places[x]!) * 32768);
  }
}
