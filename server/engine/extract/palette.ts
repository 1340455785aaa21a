import type { PlatePlan } from "../plan.ts";
import type { Picture, Tones } from "../raster.ts";
import { DescribedColours } from "./described-colours.ts";
import { describeWords, type FoundTones, pixelWords, toneProgram } from "./extract.ts";
import { COLOURS_AT_ONCE } from "./membership.ts";

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
  readonly described: DescribedColours;
}

/** Memory that a palette holds. */
export function paletteBytes({ entries, colours, alphas, described }: Palette): number {
  return entries.byteLength + colours.byteLength + alphas.byteLength + described.bytes;
}

/** Indexes a picture. Takes up to 4 + 57 bytes a pixel, where no two pixels are alike. */
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
  const described = new DescribedColours(size);
  const alphas = new Uint8Array(size);
  describeWords(colours, 0, size, described, alphas);
  return { entries, colours: colours.slice(0, size), alphas, described };
}

/** Tones of all plates that are found from the print, a byte for each colour of a palette and plate: plate by plate. */
export function foundOfPalette({ colours, alphas }: Palette, found: FoundTones, plates: number): Uint8Array {
  const count = colours.length;
  const values = new Uint8Array(count * plates);
  const isFound = Array.from({ length: plates }, (_, p) => found.finds(p));
  const tones = new Float64Array(plates);
  const rgba = new Uint8Array(colours.buffer, colours.byteOffset, colours.byteLength);
  for (let entry = 0; entry < count; entry++) {
    if (alphas[entry] === 0) continue;
    found.write(rgba[entry * 4]!, rgba[entry * 4 + 1]!, rgba[entry * 4 + 2]!, alphas[entry]!, tones);
    for (let p = 0; p < plates; p++) if (isFound[p]) values[p * count + entry] = Math.round(tones[p]! * 255);
  }
  return values;
}

/** Spreads the tones of a palette's colours over its pixels. */
export function spreadFromPalette({ entries }: Palette, values: Uint8Array, out: Tones): void {
  for (let i = 0; i < entries.length; i++) out[i] = values[entries[i]!]!;
}

/** Stage 1 of one plate: writes its tones to `out`, width × height bytes. */
export function extractFromPalette(palette: Palette, plate: PlatePlan, out: Tones): void {
  const { alphas, described } = palette;
  const write = toneProgram(plate);
  const values = new Uint8Array(alphas.length);
  for (let first = 0; first < alphas.length; first += COLOURS_AT_ONCE)
    write(described, alphas, first, Math.min(COLOURS_AT_ONCE, alphas.length - first), values, first);
  spreadFromPalette(palette, values, out);
}
