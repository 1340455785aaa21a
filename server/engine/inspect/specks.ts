import { piecesOf } from "../areas/pieces.ts";
import type { Extent, Tones } from "../raster.ts";

/** How many pieces of a plate, apart from all others, print and are smaller than `most` pixels. */
export function specksOf(tones: Tones, { width, height }: Extent, most: number): number {
  const printed = tones.map((tone) => (tone > 0 ? 1 : 0));
  const { label, size, count } = piecesOf(printed, width, height, true);
  let specks = 0;
  for (let piece = 0; piece < count; piece++) if (label[piece] === 1 && size[piece]! < most) specks++;
  return specks;
}
