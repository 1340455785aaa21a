import type { PlatePlan } from "../plan.ts";
import { type Picture, type Tones, wholeWords } from "../raster.ts";
import { ColourTable } from "./colour-table.ts";
import { describeColours, toneProgram } from "./extract.ts";
import { LabColumns } from "./lab-columns.ts";
import { COLOURS_AT_ONCE, type KnownDifferences } from "./membership.ts";
import type { SolvedTones } from "./solved-tones.ts";
import { writeValues } from "./write-values.ts";

/**
 * A picture's distinct colours, worked out once, so that one plate can be extracted again and again without looking
 * at any pixel's colour. Gives the same tones as `extractPlates`, byte for byte.
 */
export interface Palette {
  /** Entry of each pixel, width × height. */
  readonly entries: Uint32Array;
  /** RGBA of each entry as one word, in memory order. */
  readonly colours: Uint32Array;
  /** Alpha 0–255 of each entry. */
  readonly alphas: Uint8Array;
  readonly described: LabColumns;
}

/** Memory that a palette holds. */
export function paletteBytes({ entries, colours, alphas, described }: Palette): number {
  return entries.byteLength + colours.byteLength + alphas.byteLength + described.bytes;
}

/** Indexes a picture. Takes up to 4 + 57 bytes a pixel, where no two pixels are alike. */
export function paletteOf(picture: Picture): Palette {
  const pixels = wholeWords(picture.data);
  const table = new ColourTable(0, pixels.length);
  const entries = new Uint32Array(pixels.length);
  table.lookUp(pixels, 0, pixels.length, entries);
  const colours = table.colours.slice(0, table.size);
  const described = new LabColumns(colours.length);
  const alphas = new Uint8Array(colours.length);
  describeColours(colours, 0, colours.length, described, alphas);
  return { entries, colours, alphas, described };
}

/** Tones of all plates that are solved, a byte for each colour of a palette and plate: plate by plate. */
export function solvedOfPalette(
  { colours, alphas }: Palette,
  solved: SolvedTones,
  plates: number,
): Uint8Array {
  const count = colours.length;
  const values = new Uint8Array(count * plates);
  const isSolved = Array.from({ length: plates }, (_, p) => solved.solves(p));
  const tones = new Float64Array(plates);
  const rgba = new Uint8Array(colours.buffer, colours.byteOffset, colours.byteLength);
  for (let entry = 0; entry < count; entry++) {
    if (alphas[entry] === 0) continue;
    solved.write(rgba[entry * 4]!, rgba[entry * 4 + 1]!, rgba[entry * 4 + 2]!, alphas[entry]!, tones);
    for (let p = 0; p < plates; p++) if (isSolved[p]) values[p * count + entry] = Math.round(tones[p]! * 255);
  }
  return values;
}

/** Stage 1 of one plate: writes its tones to `out`, width × height bytes. `remembered` is of the palette's colours. */
export function extractFromPalette(
  palette: Palette,
  plate: PlatePlan,
  out: Tones,
  remembered?: KnownDifferences,
): void {
  const { alphas, described } = palette;
  const write = toneProgram(plate, remembered);
  const count = alphas.length;
  const values = new Uint8Array(count);
  for (let first = 0; first < count; first += COLOURS_AT_ONCE)
    write(described, alphas, first, Math.min(COLOURS_AT_ONCE, count - first), values, first);
  writeValues(values, palette.entries, out);
}
