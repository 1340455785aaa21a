import { LINEAR_OF_BYTE } from "../colour/srgb.ts";
import type { Picture } from "../raster.ts";

/** A grid of squares over a picture: the square of each column and row of pixels. */
export interface SquareGrid {
  readonly across: number;
  readonly down: number;
}

/**
 * The grid of so many squares over a picture's width, as many down as keep them square. A square is no smaller than a
 * pixel, so that each has pixels of its own.
 */
export function squareGrid(width: number, height: number, wanted: number): SquareGrid {
  const across = Math.max(1, Math.min(width, wanted));
  return { across, down: Math.max(1, Math.min(height, Math.round((height * across) / width))) };
}

/** Of `count` places, such as pixels, the square of `squares` in which each has its middle. */
export function squareOf(count: number, squares: number): Uint32Array {
  return Uint32Array.from({ length: count }, (_, i) => Math.floor(((i + 0.5) * squares) / count));
}

/** A row of squares' colours: linear light of what covers each, 0–1, and how much of it is covered. */
export interface SquareRow {
  /** across × 3. */
  readonly light: Float64Array;
  /** 0–1. */
  readonly cover: Float64Array;
}

/** Means of the pixels of each square of one row of squares; `columns` and `rows` by `squareOf`. */
export function meanRow(
  { data, width }: Picture,
  columns: Uint32Array,
  from: number,
  to: number,
  { light, cover }: SquareRow,
): void {
  const counts = new Uint32Array(cover.length);
  light.fill(0);
  cover.fill(0);
  for (let y = from; y < to; y++)
    for (let x = 0, at = y * width * 4; x < width; x++, at += 4) {
      const square = columns[x]!;
      const alpha = data[at + 3]! / 255;
      counts[square]!++;
      cover[square]! += alpha;
      for (let c = 0; c < 3; c++) light[3 * square + c]! += alpha * LINEAR_OF_BYTE[data[at + c]!]!;
    }
  for (let square = 0; square < counts.length; square++) {
    const covered = cover[square]!;
    if (covered > 0) for (let c = 0; c < 3; c++) light[3 * square + c]! /= covered;
    cover[square] = covered / counts[square]!;
  }
}
