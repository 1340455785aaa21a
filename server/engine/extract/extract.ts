import { fastLab } from "../colour/fast-lab.ts";
import type { PlatePlan } from "../plan.ts";
import type { Picture, Tones } from "../raster.ts";
import { ColourTable } from "./colour-table.ts";
import { COLOUR_FIELDS, compileExtraction, completeColour, membership } from "./membership.ts";
import { strengthOf } from "./strength.ts";

/** Pixels looked up in one go; small enough for the caches, large enough to keep the loops long. */
const BLOCK = 1 << 14;

/**
 * Stage 1, extract: the tones of all plates from the artwork alone. Tone is membership × strength × the
 * artwork's opacity. Fills `tones[i]` (width × height bytes) for `plates[i]` and yields the share done, 0–1,
 * so that a host can show progress, pause or stop.
 *
 * A plate's tone depends on nothing but the pixel's colour, so each colour is worked out once and looked up
 * afterwards: a picture has far fewer colours than pixels.
 */
export function* extractPlates(
  picture: Picture,
  plates: readonly PlatePlan[],
  tones: readonly Tones[],
  found?: FoundTones,
): Generator<number, void> {
  const count = picture.width * picture.height;
  const pixels = pixelWords(picture);
  const table = tableFor(plates.length);
  const evaluate = toneFunction(plates, found);
  const entries = new Uint32Array(BLOCK);

  for (let start = 0; start < count; start += BLOCK) {
    const length = Math.min(BLOCK, count - start);
    const first = table.size;
    const fresh = table.lookUp(pixels, start, length, entries) ? 0 : first;
    for (let entry = fresh; entry < table.size; entry++) evaluate(table.colours, entry, table.values);
    for (let p = 0; p < plates.length; p++) spread(table.values[p]!, entries, tones[p]!, start, length);
    yield (start + length) / count;
  }
  spare = table;
}

/** A picture that is made in many strips would leave as many tables to the collector: one is kept for the next. */
let spare: ColourTable | undefined;

function tableFor(plates: number): ColourTable {
  const table = spare?.values.length === plates ? spare : new ColourTable(BLOCK, plates);
  // Nobody else may take it while it is worked with.
  spare = undefined;
  table.clear();
  return table;
}

function spread(values: Uint8Array, entries: Uint32Array, tones: Tones, start: number, length: number): void {
  for (let i = 0; i < length; i++) tones[start + i] = values[entries[i]!]!;
}

/** RGBA as one 32-bit word a pixel, in memory order. */
export function pixelWords({ data, width, height }: Picture): Uint32Array {
  // Not data.slice(): a Node Buffer's does not copy.
  const bytes = data.byteOffset % 4 === 0 ? data : new Uint8Array(data);
  return new Uint32Array(bytes.buffer, bytes.byteOffset, width * height);
}

/** Tones that follow from the print instead of from membership alone. */
export interface FoundTones {
  /** Whether plate `p` has its tone from here. */
  finds(p: number): boolean;
  /**
   * Writes the tone 0–1 of every such plate to `out[p]`, for an 8-bit sRGB colour of opacity `alpha`, 1–255. What
   * comes is final: the artwork's opacity is in it.
   */
  write(r: number, g: number, b: number, alpha: number, out: Float64Array): void;
}

type Evaluate = (colours: Uint32Array, entry: number, values: readonly Uint8Array[]) => void;

function toneFunction(plates: readonly PlatePlan[], found: FoundTones | undefined): Evaluate {
  const programs = plates.map(toneProgram);
  const isFound = plates.map((_, p) => found?.finds(p) === true);
  const byHand = isFound.includes(false);
  const foundTones = new Float64Array(plates.length);
  const colour = new Float64Array(COLOUR_FIELDS);
  const word = new Uint32Array(1);
  const rgba = new Uint8Array(word.buffer);

  return (colours, entry, values) => {
    word[0] = colours[entry]!;
    const alpha = rgba[3]!;
    if (alpha === 0) {
      // What is clear in the artwork never prints.
      for (const tones of values) tones[entry] = 0;
      return;
    }
    if (byHand) describeColour(rgba[0]!, rgba[1]!, rgba[2]!, alpha, colour);
    found?.write(rgba[0]!, rgba[1]!, rgba[2]!, alpha, foundTones);
    for (let p = 0; p < programs.length; p++)
      values[p]![entry] = isFound[p] ? Math.round(foundTones[p]! * 255) : programs[p]!(colour, alpha, 0);
  };
}

/** Fills `colour` (`COLOUR_FIELDS` numbers) with what extractions look at in an 8-bit sRGB colour; alpha 0–255. */
export function describeColour(r: number, g: number, b: number, alpha: number, colour: Float64Array): void {
  fastLab(r, g, b, colour);
  // Divided last, so that whole percents are exact and stand on a range's end.
  completeColour(colour, (alpha * 100) / 255);
}

/** The tone, 0–255, that a plate takes from the colour (`describeColour`) of that alpha, at `from` in `colours`. */
export type ToneProgram = (colours: Float64Array, alpha: number, from: number) => number;

export function toneProgram({ extract, strength }: PlatePlan): ToneProgram {
  const program = compileExtraction(extract);
  const stack = new Float64Array(Math.max(1, program.depth));
  return (colours, alpha, from) => {
    const member = membership(program, colours, stack, from);
    return member === 0 ? 0 : Math.round(member * strengthOf(strength, colours, from) * alpha);
  };
}
