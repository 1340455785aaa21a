import type { Extent, Tones } from "../raster.ts";
import { squareGrid, squareOf } from "../squares/grid.ts";
import { MM_PER_INCH } from "../units.ts";
import { bytesPerRow, type Window } from "./bits.ts";

/** Tone, 0–255, from which a square is ink. */
const INK = 128;

interface SquarePlate extends Extent {
  readonly tones: Tones;
}

/**
 * Squares on film: each is ink or none, as the plate is in its middle, and they meet: a film pixel belongs to the square
 * that its own middle lies in, on the films of all plates alike. With `growMm` ink goes so far beyond each side.
 */
export class SquareFilm {
  readonly #plate: SquarePlate;
  /** The square of each column and row of the film, and the pixel in the middle of each square. */
  readonly #columns: Uint32Array;
  readonly #rows: Uint32Array;
  readonly #middleX: Uint32Array;
  readonly #middleY: Uint32Array;
  readonly #grow: number;
  readonly #filmHeight: number;

  constructor(
    plate: SquarePlate,
    { across: wanted, growMm }: { readonly across: number; readonly growMm: number },
    filmDpi: number,
    filmWidth: number,
    filmHeight: number,
  ) {
    const { across, down } = squareGrid(plate.width, plate.height, wanted);
    this.#plate = plate;
    this.#columns = squareOf(filmWidth, across);
    this.#rows = squareOf(filmHeight, down);
    this.#middleX = squareOf(across, plate.width);
    this.#middleY = squareOf(down, plate.height);
    this.#grow = Math.round((growMm * filmDpi) / MM_PER_INCH);
    this.#filmHeight = filmHeight;
  }

  /** Writes a window's bits to `out`, which must be clear. */
  draw({ x: x0, y: y0, width, height }: Window, out: Uint8Array): void {
    const stride = bytesPerRow(width);
    const grow = this.#grow;
    const columns = this.#columns;
    const last = columns.length - 1;
    let inks: Uint8Array | undefined;
    let [known, until] = [-1, -1];
    for (let row = 0; row < height; row++) {
      const y = y0 + row;
      const from = this.#rows[Math.max(0, y - grow)]!;
      const to = this.#rows[Math.min(this.#filmHeight - 1, y + grow)]!;
      if (!inks || from !== known || to !== until) {
        inks = this.#inkOfRows(from, to);
        [known, until] = [from, to];
      }
      for (let x = 0; x < width; x++) {
        const left = columns[Math.max(0, x0 + x - grow)]!;
        const right = columns[Math.min(last, x0 + x + grow)]!;
        let ink = inks[left]! | inks[right]!;
        for (let square = left + 1; square < right; square++) ink |= inks[square]!;
        if (ink) out[row * stride + (x >> 3)]! |= 0x80 >> (x & 7);
      }
    }
  }

  /** For each square across whether any of some rows of squares is ink there. */
  #inkOfRows(from: number, to: number): Uint8Array {
    const { tones, width } = this.#plate;
    const inks = new Uint8Array(this.#middleX.length);
    for (let row = from; row <= to; row++) {
      const start = this.#middleY[row]! * width;
      for (let square = 0; square < inks.length; square++)
        if (tones[start + this.#middleX[square]!]! >= INK) inks[square] = 1;
    }
    return inks;
  }
}
