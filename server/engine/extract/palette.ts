import type { PlatePlan } from "../plan.ts";
import type { Picture, Tones } from "../raster.ts";
import { BLOCK, ColourBlocks } from "./colour-blocks.ts";
import { describeColours, pixelWords, toneProgram } from "./extract.ts";
import { LabColumns } from "./lab-columns.ts";
import type { KnownDifferences } from "./membership.ts";
import { mortonOrder } from "./morton-order.ts";
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
  readonly blocks: ColourBlocks;
}

/** Memory that a palette holds. */
export function paletteBytes({ entries, colours, alphas, described, blocks }: Palette): number {
  return entries.byteLength + colours.byteLength + alphas.byteLength + described.bytes + blocks.bytes;
}

/** Indexes a picture, its colours in an order that keeps like ones together. Takes up to 4 + 57 bytes a pixel, where no two pixels are alike. */
export function paletteOf(picture: Picture): Palette {
  const pixels = pixelWords(picture);
  const count = pixels.length;
  const entries = new Uint32Array(count);
  const bits = Math.max(4, Math.ceil(Math.log2(Math.max(1, count))) + 1);
  const slots = new Uint32Array(1 << bits);
  const colours = new Uint32Array(count);
  const mask = slots.length - 1;
  const shift = 32 - bits;
  let size = 0;
  for (let i = 0; i < count; i++) {
    const colour = pixels[i]!;
    let slot = Math.imul(colour, 0x9e3779b1) >>> shift;
    let found = slots[slot]!;
    while (found !== 0 && colours[found - 1] !== colour) {
      slot = (slot + 1) & mask;
      found = slots[slot]!;
    }
    if (found === 0) {
      colours[size] = colour;
      found = ++size;
      slots[slot] = found;
    }
    entries[i] = found - 1;
  }
  // Each colour to its place among those that are like it.
  const order = mortonOrder(colours.subarray(0, size));
  const places = new Uint32Array(size);
  for (let place = 0; place < size; place++) places[order[place]!] = place;
  for (let i = 0; i < count; i++) entries[i] = places[entries[i]!]!;
  const sorted = order.map((i) => colours[i]!);
  const described = new LabColumns(size);
  const alphas = new Uint8Array(size);
  describeColours(sorted, 0, size, described, alphas);
  return { entries, colours: sorted, alphas, described, blocks: new ColourBlocks(described) };
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
  const { alphas, described, blocks } = palette;
  const write = toneProgram(plate, remembered);
  const values = new Uint8Array(alphas.length);
  const count = alphas.length;
  for (let first = 0; first < count; first += BLOCK) {
    if (blocks.most(first / BLOCK, plate.extract) === 0) continue;
    write(described, alphas, first, Math.min(BLOCK, count - first), values, first);
  }
  writeValues(values, palette.entries, out);
}
