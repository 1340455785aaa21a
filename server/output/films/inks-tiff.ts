import { deflateSync } from "node:zlib";
import {
  ASCII,
  LONG,
  RATIONAL,
  SHORT,
  tiffField,
  tiffFile,
  tiffRational,
  tiffText,
} from "../../artwork/tiff/write.ts";
import type { Tones } from "../../engine/raster.ts";

/** All plates of a setup in one TIFF. */
export interface InksTiff {
  readonly width: number;
  readonly height: number;
  /** Pixels an inch at print size. */
  readonly ppi: number;
  /** In print order. */
  readonly inks: readonly { readonly name: string; readonly tones: Tones }[];
  readonly description: string;
  readonly software: string;
}

const ROWS_PER_STRIP = 128;
const DEFLATE = 8;

/**
 * Plates as TIFF 6.0, §16 (separated, inks by name): a byte an ink and pixel, 255 solid, deflated. An ink's name is UTF-8,
 * where the format knows ASCII alone.
 */
export function inksTiff({ width, height, ppi, inks, description, software }: InksTiff): Uint8Array {
  const count = inks.length;
  const strips: Uint8Array[] = [];
  for (let y = 0; y < height; y += ROWS_PER_STRIP) {
    const pixels = Math.min(ROWS_PER_STRIP, height - y) * width;
    const samples = new Uint8Array(pixels * count);
    for (const [k, { tones }] of inks.entries())
      for (let i = 0, at = k, from = y * width; i < pixels; i++, at += count) samples[at] = tones[from + i]!;
    strips.push(deflateSync(samples));
  }
  const names = new TextEncoder().encode(inks.map(({ name }) => `${name}\0`).join(""));
  return tiffFile(
    [
      tiffField(254, LONG, [0]),
      tiffField(256, LONG, [width]),
      tiffField(257, LONG, [height]),
      tiffField(258, SHORT, new Array<number>(count).fill(8)),
      tiffField(259, SHORT, [DEFLATE]),
      // Separated; upright; samples of a pixel side by side.
      tiffField(262, SHORT, [5]),
      tiffText(270, description),
      tiffField(274, SHORT, [1]),
      tiffField(277, SHORT, [count]),
      tiffField(278, LONG, [ROWS_PER_STRIP]),
      tiffField(282, RATIONAL, tiffRational(ppi)),
      tiffField(283, RATIONAL, tiffRational(ppi)),
      tiffField(284, SHORT, [1]),
      tiffField(296, SHORT, [2]),
      tiffText(305, software),
      // Inks, not CMYK: their names, and how many there are.
      tiffField(332, SHORT, [2]),
      { tag: 333, type: ASCII, count: names.length, bytes: names },
      tiffField(334, SHORT, [count]),
    ],
    strips,
  );
}
