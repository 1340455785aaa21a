import type { IndexPlan } from "../plan.ts";
import type { Picture, Tones } from "../raster.ts";
import { SquareNoise } from "./blue-noise.ts";
import { SquareDiffusion } from "./diffusion.ts";
import { meanRow, squareGrid, squareOf } from "./grid.ts";
import { Palette } from "./palette.ts";

/**
 * Index separation of a whole picture: the number of each pixel's ink, 1 for the first of the plan's, or 0 for none.
 * All pixels of a square have one. width × height bytes.
 */
export function inkOfEachSquare(
  picture: Picture,
  { across: wanted, colours, dither }: IndexPlan,
): Uint8Array {
  const { width, height } = picture;
  const { across, down } = squareGrid(width, height, wanted);
  const palette = new Palette(colours);
  const choice = dither === "diffusion" ? new SquareDiffusion(palette, across) : new SquareNoise(palette);
  const columns = squareOf(width, across);
  const rows = squareOf(height, down);
  const means = { light: new Float64Array(3 * across), cover: new Float64Array(across) };
  const chosen = new Uint8Array(across);
  const inks = new Uint8Array(width * height);
  for (let y = 0; y < height; ) {
    const row = rows[y]!;
    let end = y + 1;
    while (end < height && rows[end] === row) end++;
    meanRow(picture, columns, y, end, means);
    choice.row(means, row, chosen);
    const first = inks.subarray(y * width, (y + 1) * width);
    for (let x = 0; x < width; x++) first[x] = chosen[columns[x]!]!;
    for (let same = y + 1; same < end; same++) inks.set(first, same * width);
    y = end;
  }
  return inks;
}

/** Writes the plate of one ink of the set: solid in its squares, nothing in all others. Number 0 is no ink. */
export function writeSquares(inks: Uint8Array, ink: number, out: Tones): void {
  for (let i = 0; i < out.length; i++) out[i] = ink > 0 && inks[i] === ink ? 255 : 0;
}
