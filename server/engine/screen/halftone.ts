import type { Tones } from "../raster.ts";
import { bytesPerRow, packBits } from "./bits.ts";
import { blueNoise } from "./blue-noise.ts";
import { type DotName, spotFunction } from "./spot-functions.ts";
import { supercellFor } from "./supercell.ts";
import { type Tile, thresholdTile, tileRow } from "./tile.ts";

/** How tones become dots. */
export type Screening =
  /** Dots in rows that grow with the tone. */
  | { readonly method: "am"; readonly rulingLpi: number; readonly angle: number; readonly dot: DotName }
  /** Grains of one size that stand the closer the darker: by a blue-noise mask, or by error diffusion. */
  | { readonly method: "fm" | "diffusion"; readonly grainMm: number };

/** A plate on its way to film. */
export interface ScreenedPlate {
  readonly tones: Tones;
  /** Of `tones`, in pixels. */
  readonly width: number;
  readonly height: number;
  /** Film tone 0–1 of each plate tone 0–255; begins with 0, ends with 1, never falls. */
  readonly curve: Float64Array;
}

/** A rectangle of the film, in its pixels. */
export interface Window {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

/**
 * Turns plates into dots at one resolution of film. The plate is laid over the film's pixels and read between its own
 * pixels; where it goes from nothing to solid at once it is drawn as an edge, without dots. A window gives the same bits
 * as the whole film does there, so strips can be worked on apart, but for error diffusion, whose windows must be the
 * film's full width and come in order from the top.
 */
export class Halftone {
  readonly filmWidth: number;
  readonly filmHeight: number;
  readonly #plate: ScreenedPlate;
  readonly #edges: Uint8Array;
  readonly #mask: Mask;

  /** `filmDpi` and the film's size in pixels, over the plate's whole picture. */
  constructor(
    plate: ScreenedPlate,
    screening: Screening,
    filmDpi: number,
    filmWidth: number,
    filmHeight: number,
  ) {
    this.filmWidth = filmWidth;
    this.filmHeight = filmHeight;
    this.#plate = plate;
    this.#edges = edgesOf(plate);
    this.#mask =
      screening.method === "am"
        ? new RowMask(amTile(filmDpi, screening), plate.curve)
        : screening.method === "fm"
          ? new GrainMask(grainPixels(screening.grainMm, filmDpi), plate.curve)
          : new Diffusion(grainPixels(screening.grainMm, filmDpi), plate.curve, filmWidth);
  }

  /** Writes a window's bits to `out`, which must be clear: rows of `bytesPerRow(window.width)` bytes. */
  draw(window: Window, out: Uint8Array): void {
    const { tones, width, height } = this.#plate;
    const stride = bytesPerRow(window.width);
    const stretches = stretchesOf(width, this.filmWidth, window);
    const blended = new Uint16Array(width);
    const sharp = new Uint8Array(width);
    const line = new Uint8Array(stride * 8);
    for (let row = 0; row < window.height; row++) {
      const y = window.y + row;
      // Pixel centres lie over pixel centres; beyond the outermost the outermost counts.
      const at = Math.min(height - 1, Math.max(0, ((y + 0.5) * height) / this.filmHeight - 0.5));
      const above = Math.floor(at);
      const below = Math.min(height - 1, above + 1);
      const part = Math.round((at - above) * 256);
      const a = above * width;
      const b = below * width;
      let any = 0;
      for (let x = 0; x < width; x++) {
        const v = tones[a + x]! * (256 - part) + tones[b + x]! * part;
        blended[x] = v;
        sharp[x] = this.#edges[a + x]! | this.#edges[b + x]!;
        any |= v;
      }
      if (any === 0 && !this.#mask.carries) continue;
      this.#mask.row(y, blended, sharp, stretches, line);
      packBits(line, out, row * stride);
    }
  }
}

/** The film's pixels between the centres of each two plate pixels, for a window. */
interface Stretches {
  /** First film pixel of the window. */
  readonly x: number;
  readonly width: number;
  /** Plate pixels on the left and on the right of each stretch. */
  readonly left: Int32Array;
  readonly right: Int32Array;
  /** Where each stretch begins in the window; one more entry for the end. */
  readonly start: Int32Array;
  /** How far, 0–1, its first pixel lies from the left plate pixel to the right one. */
  readonly part: Float64Array;
  /** Plate pixels to a film pixel. */
  readonly step: number;
}

function stretchesOf(plateWidth: number, filmWidth: number, { x: x0, width }: Window): Stretches {
  const step = plateWidth / filmWidth;
  const place = (x: number) => (x + 0.5) * step - 0.5;
  const first = Math.floor(place(x0));
  const count = Math.floor(place(x0 + width - 1)) - first + 1;
  const inside = (x: number) => Math.min(plateWidth - 1, Math.max(0, x));
  const left = new Int32Array(count);
  const right = new Int32Array(count);
  const start = new Int32Array(count + 1).fill(width);
  const part = new Float64Array(count);
  for (let x = width - 1; x >= 0; x--) start[Math.floor(place(x0 + x)) - first] = x;
  for (let k = count - 1; k >= 0; k--) {
    if (start[k]! > start[k + 1]!) start[k] = start[k + 1]!;
    left[k] = inside(first + k);
    right[k] = inside(first + k + 1);
    part[k] = place(x0 + start[k]!) - (first + k);
  }
  return { x: x0, width, left, right, start, part, step };
}

/** What decides between ink and none, a row of film at a time. */
interface Mask {
  /** Whether empty rows matter to those below. */
  readonly carries: boolean;
  /**
   * Writes 1 or 0 for each pixel of the window to `line`. `tones` are the plate's, blended between two of its rows,
   * × 256; `sharp` says where an edge runs.
   */
  row(y: number, tones: Uint16Array, sharp: Uint8Array, stretches: Stretches, line: Uint8Array): void;
}

/** Half of solid, × 256: where an edge runs. */
const HALF = 128 * 256;
const SOLID = 255 * 256;

class RowMask implements Mask {
  readonly carries = false;
  readonly #tile: Tile;
  /** Plate tone, × 256, from which each pixel of the tile is ink. */
  readonly #from: Uint16Array;

  constructor(tile: Tile, curve: Float64Array) {
    this.#tile = tile;
    this.#from = firstTones(tile.ranks, curve);
  }

  row(y: number, tones: Uint16Array, sharp: Uint8Array, stretches: Stretches, line: Uint8Array): void {
    const { x: x0, left, right, start, part, step } = stretches;
    const tileWidth = this.#tile.width;
    const { row, offset } = tileRow(this.#tile, y);
    const from = this.#from.subarray(row * tileWidth, (row + 1) * tileWidth);
    const phase = (offset + x0) % tileWidth;
    for (let k = 0; k < left.length; k++) {
      const begin = start[k]!;
      const end = start[k + 1]!;
      const a = tones[left[k]!]!;
      const b = tones[right[k]!]!;
      if ((a === 0 && b === 0) || (a === SOLID && b === SOLID)) {
        const ink = a === 0 ? 0 : 1;
        for (let x = begin; x < end; x++) line[x] = ink;
        continue;
      }
      const slope = (b - a) * step;
      let v = a + (b - a) * part[k]!;
      if ((sharp[left[k]!]! | sharp[right[k]!]!) !== 0) {
        for (let x = begin; x < end; x++, v += slope) line[x] = v >= HALF ? 1 : 0;
        continue;
      }
      let t = (phase + begin) % tileWidth;
      for (let x = begin; x < end; x++, v += slope) {
        line[x] = v >= from[t]! ? 1 : 0;
        if (++t === tileWidth) t = 0;
      }
    }
  }
}

const NOISE_SIDE = 128;
let noise: Uint16Array | undefined;

/** Grains on a square grid, chosen by a mask; each grain is whole. */
class GrainMask implements Mask {
  readonly carries = false;
  readonly #grain: number;
  readonly #from: Uint16Array;

  constructor(grain: number, curve: Float64Array) {
    noise ??= blueNoise(NOISE_SIDE);
    this.#grain = grain;
    this.#from = firstTones(noise, curve);
  }

  row(y: number, tones: Uint16Array, sharp: Uint8Array, stretches: Stretches, line: Uint8Array): void {
    const row = (Math.floor(y / this.#grain) % NOISE_SIDE) * NOISE_SIDE;
    eachPixel(tones, sharp, stretches, (x, tone, edge) => {
      const cell = Math.floor((stretches.x + x) / this.#grain) % NOISE_SIDE;
      line[x] = tone >= (edge ? HALF : this.#from[row + cell]!) ? 1 : 0;
    });
  }
}

/**
 * Error diffusion over grains: what a grain gives too much or too little goes to its neighbours, 7, 3, 5 and 1
 * sixteenths (Floyd and Steinberg, 1976), every other row from right to left.
 */
class Diffusion implements Mask {
  readonly carries = true;
  readonly #grain: number;
  readonly #curve: Float64Array;
  readonly #ink: Uint8Array;
  #errors: Float64Array;
  #row = -1;

  constructor(grain: number, curve: Float64Array, filmWidth: number) {
    const cells = Math.ceil(filmWidth / grain);
    this.#grain = grain;
    this.#curve = curve;
    this.#ink = new Uint8Array(cells);
    this.#errors = new Float64Array(cells + 2);
  }

  row(y: number, tones: Uint16Array, sharp: Uint8Array, stretches: Stretches, line: Uint8Array): void {
    const row = Math.floor(y / this.#grain);
    const decide = row !== this.#row;
    const asked = new Float64Array(decide ? this.#ink.length : 0);
    eachPixel(tones, sharp, stretches, (x, tone) => {
      const middle = Math.floor(x / this.#grain) * this.#grain + (this.#grain >> 1);
      if (decide && x === Math.min(middle, stretches.width - 1))
        asked[Math.floor(x / this.#grain)] = this.#curve[Math.round(tone / 256)]!;
    });
    if (decide) this.#decide(row, asked);
    eachPixel(tones, sharp, stretches, (x, tone, edge) => {
      line[x] = edge ? (tone >= HALF ? 1 : 0) : this.#ink[Math.floor(x / this.#grain)]!;
    });
  }

  #decide(row: number, asked: Float64Array): void {
    this.#row = row;
    const cells = this.#ink.length;
    const next = new Float64Array(cells + 2);
    const here = this.#errors;
    const back = row % 2 === 1;
    const step = back ? -1 : 1;
    for (let k = 0; k < cells; k++) {
      const cell = back ? cells - 1 - k : k;
      const tone = asked[cell]!;
      // Nothing and solid take no error in and give none on: they stay as they are.
      const flat = tone === 0 || tone === 1;
      const wanted = flat ? tone : tone + here[cell + 1]!;
      const ink = wanted >= 0.5 ? 1 : 0;
      this.#ink[cell] = ink;
      const error = flat ? 0 : wanted - ink;
      here[cell + 1 + step]! += (error * 7) / 16;
      next[cell + 1 - step]! += (error * 3) / 16;
      next[cell + 1]! += (error * 5) / 16;
      next[cell + 1 + step]! += error / 16;
    }
    this.#errors = next;
  }
}

/** Calls back with each pixel of the window, its tone × 256, and whether an edge runs there. */
function eachPixel(
  tones: Uint16Array,
  sharp: Uint8Array,
  { left, right, start, part, step }: Stretches,
  see: (x: number, tone: number, edge: boolean) => void,
): void {
  for (let k = 0; k < left.length; k++) {
    const [l, r] = [left[k]!, right[k]!];
    const slope = (tones[r]! - tones[l]!) * step;
    const edge = (sharp[l]! | sharp[r]!) !== 0;
    let v = tones[l]! + (tones[r]! - tones[l]!) * part[k]!;
    for (let x = start[k]!; x < start[k + 1]!; x++, v += slope) see(x, v, edge);
  }
}

/** For each rank the first plate tone, 1–255, whose film tone reaches beyond it; × 256. */
function firstTones(ranks: Uint32Array | Uint16Array, curve: Float64Array): Uint16Array {
  const tones = new Uint16Array(ranks.length);
  for (let tone = 1, rank = 0; tone < 256; tone++) {
    const until = tone === 255 ? ranks.length : Math.round(curve[tone]! * ranks.length);
    for (; rank < until; rank++) tones[rank] = tone << 8;
  }
  return Uint16Array.from(ranks, (rank) => tones[rank]!);
}

/** Plate tones, 0–255, that count as nothing and as solid beside an edge. */
const NEARLY_CLEAR = 25;
const NEARLY_SOLID = 230;

/** Marks plate pixels where nothing and solid meet within one pixel around. */
function edgesOf({ tones, width, height }: ScreenedPlate): Uint8Array {
  const edges = new Uint8Array(tones.length);
  for (let y = 0; y < height; y++) {
    const [from, to] = [Math.max(0, y - 1), Math.min(height - 1, y + 1)];
    for (let x = 0; x < width; x++) {
      const [left, right] = [Math.max(0, x - 1), Math.min(width - 1, x + 1)];
      let least = 255;
      let most = 0;
      for (let yy = from; yy <= to; yy++) {
        for (let xx = left; xx <= right; xx++) {
          const tone = tones[yy * width + xx]!;
          if (tone < least) least = tone;
          if (tone > most) most = tone;
        }
      }
      if (least <= NEARLY_CLEAR && most >= NEARLY_SOLID) edges[y * width + x] = 1;
    }
  }
  return edges;
}

function grainPixels(grainMm: number, filmDpi: number): number {
  return Math.max(1, Math.round((grainMm * filmDpi) / 25.4));
}

const tiles = new Map<string, Tile>();
/** A job has few screens; what a long-lived host collects beyond them is let go. */
const TILES_KEPT = 8;

function amTile(filmDpi: number, { rulingLpi, angle, dot }: Extract<Screening, { method: "am" }>): Tile {
  const key = `${filmDpi} ${rulingLpi} ${angle} ${dot}`;
  const known = tiles.get(key);
  if (known) return known;
  const tile = thresholdTile(supercellFor(filmDpi, rulingLpi, angle), spotFunction(dot));
  if (tiles.size >= TILES_KEPT) tiles.delete(tiles.keys().next().value!);
  tiles.set(key, tile);
  return tile;
}
