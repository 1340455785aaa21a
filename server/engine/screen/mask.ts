import { memo } from "../memo.ts";
import { NOISE_SIDE, noiseOf, placeIn } from "./noise.ts";
import { type DotName, spotFunction } from "./spot-functions.ts";
import { supercellFor } from "./supercell.ts";
import { type Tile, thresholdTile, tileRow } from "./tile.ts";

/** What decides between ink and none, a row of film at a time. */
export interface Mask {
  /** Whether empty rows matter to those below. */
  readonly carries: boolean;
  /** The same object for rows that are alike; `toneAt` gives the plate's tone, 0–255, at a pixel of the row. */
  row(y: number, toneAt: (x: number) => number): MaskRow;
}

/** Plate tones, × 128, from which the pixels of a row are ink; the row repeats, and the film begins at `offset` in it. */
export interface MaskRow {
  readonly from: Int16Array;
  readonly offset: number;
}

/** Dots in rows: the pixels of a tile turn to ink one after the other. */
export class DotMask implements Mask {
  readonly carries = false;
  readonly #tile: Tile;
  readonly #from: Int16Array;

  constructor(filmDpi: number, rulingLpi: number, angle: number, dot: DotName, curve: Float64Array) {
    this.#tile = tileOf(filmDpi, rulingLpi, angle, dot);
    this.#from = firstTones(this.#tile.ranks, curve);
  }

  row(y: number): MaskRow {
    const { row, offset } = tileRow(this.#tile, y);
    const { width } = this.#tile;
    return { from: this.#from.subarray(row * width, (row + 1) * width), offset };
  }
}

/** Grains on a square grid, chosen by a mask of blue noise; each grain is whole. */
export class GrainMask implements Mask {
  readonly carries = false;
  /** Pixels along a grain's side. */
  readonly #grain: number;
  readonly #rows: readonly MaskRow[];

  constructor(grain: number, curve: Float64Array, mask: number) {
    const from = firstTones(noiseOf(mask), curve);
    const at = (x: number, y: number) => from[placeIn(mask, x, y)]!;
    this.#grain = grain;
    this.#rows = Array.from({ length: NOISE_SIDE }, (_, row) => ({
      from: Int16Array.from({ length: NOISE_SIDE * grain }, (_, x) => at(Math.floor(x / grain), row)),
      offset: 0,
    }));
  }

  row(y: number): MaskRow {
    return this.#rows[Math.floor(y / this.#grain) % NOISE_SIDE]!;
  }
}

/** For each rank the first plate tone, 1–255, whose film tone reaches beyond it; × 128. */
function firstTones(ranks: Uint32Array | Uint16Array, curve: Float64Array): Int16Array {
  const tones = new Int16Array(ranks.length);
  for (let tone = 1, rank = 0; tone < 256; tone++) {
    const until = tone === 255 ? ranks.length : Math.round(curve[tone]! * ranks.length);
    for (; rank < until; rank++) tones[rank] = tone << 7;
  }
  return Int16Array.from(ranks, (rank) => tones[rank]!);
}

/** A job has few screens; what a long-lived host collects beyond them is let go. */
const TILES_KEPT = 8;

const tileOf = memo(TILES_KEPT, (filmDpi: number, rulingLpi: number, angle: number, dot: DotName) =>
  thresholdTile(supercellFor(filmDpi, rulingLpi, angle), spotFunction(dot)),
);
