import type { PlatePlan } from "../plan.ts";
import { type Picture, type Tones, wholeWords } from "../raster.ts";
import { writeSquares } from "../squares/squares.ts";
import { coloursOf, writeAreas } from "./areas.ts";
import type { ColourTable } from "./colour-table.ts";
import { LabColumns } from "./lab-columns.ts";
import { COLOURS_AT_ONCE, type KnownDifferences, Membership } from "./membership.ts";
import { RgbaOfWord } from "./rgba-of-word.ts";
import type { SolvedTones } from "./solved-tones.ts";
import { strengthFunction } from "./strength.ts";
import { writeValues } from "./write-values.ts";

/** Pixels looked up in one go; small enough for the caches, large enough to keep the loops long. */
const BLOCK = 1 << 14;

/**
 * Stage 1, extract: the tones of all plates from the artwork alone. Tone is membership × strength × the
 * artwork's opacity. Fills `tones[i]` (width × height bytes) for `plates[i]` and yields the share done, 0–1,
 * so that a host can show progress, pause or stop. `table` is empty, with a value for each plate.
 *
 * But for squares of an index separation, a plate's tone depends on nothing but the pixel's colour, so each colour is worked out once and looked up
 * afterwards: a picture has far fewer colours than pixels.
 */
export function* extractPlates(
  picture: Picture,
  plates: readonly PlatePlan[],
  tones: readonly Tones[],
  table: ColourTable,
  solved?: SolvedTones,
): Generator<number, void> {
  yield* extractColours(picture, plates, tones, table, solved);
  const { squares } = picture;
  if (!squares) return;
  for (const [p, { strength }] of plates.entries())
    if (strength.by === "index") writeSquares(squares, strength.colour, tones[p]!);
}

/** All plates that follow from a pixel's colour; the others have no tone yet. */
function* extractColours(
  picture: Picture,
  plates: readonly PlatePlan[],
  tones: readonly Tones[],
  table: ColourTable,
  solved?: SolvedTones,
): Generator<number, void> {
  const { areas } = picture;
  if (areas) {
    const few = coloursOf(areas);
    const values = plates.map(() => new Uint8Array(few.width));
    yield* extractColours(few, plates, values, table, solved);
    for (const [p, out] of tones.entries()) writeAreas(areas, values[p]!, out);
    return;
  }
  const count = picture.width * picture.height;
  const pixels = wholeWords(picture.data);
  const evaluate = toneFunction(plates, solved);
  const entries = new Uint32Array(BLOCK);

  for (let start = 0; start < count; start += BLOCK) {
    const length = Math.min(BLOCK, count - start);
    const first = table.size;
    const fresh = table.lookUp(pixels, start, length, entries) ? 0 : first;
    evaluate(table.colours, fresh, table.size, table.values);
    for (let p = 0; p < plates.length; p++)
      writeValues(table.values[p]!, entries, tones[p]!.subarray(start, start + length));
    yield (start + length) / count;
  }
}

/** Writes the tones of the colours from `from` up to `to` of a table, plate by plate. */
type Evaluate = (colours: Uint32Array, from: number, to: number, values: readonly Uint8Array[]) => void;

function toneFunction(plates: readonly PlatePlan[], solved: SolvedTones | undefined): Evaluate {
  const isSolved = plates.map((_, p) => solved?.solves(p) === true);
  const byHand = plates.flatMap((plate, p) => (isSolved[p] ? [] : [{ p, write: toneProgram(plate) }]));
  const tones = new Float64Array(plates.length);
  const described = new LabColumns(COLOURS_AT_ONCE);
  const alphas = new Uint8Array(COLOURS_AT_ONCE);
  const rgba = new RgbaOfWord();
  const writeSolved = (by: SolvedTones, entry: number, colour: number, values: readonly Uint8Array[]) => {
    const at = rgba.of(colour);
    // What is clear in the artwork never prints.
    if (at[3] === 0) tones.fill(0);
    else by.write(at[0]!, at[1]!, at[2]!, at[3]!, tones);
    for (let p = 0; p < isSolved.length; p++)
      if (isSolved[p]) values[p]![entry] = Math.round(tones[p]! * 255);
  };
  return (colours, from, to, values) => {
    for (let start = from; start < to; start += COLOURS_AT_ONCE) {
      const count = Math.min(COLOURS_AT_ONCE, to - start);
      if (byHand.length > 0) describeColours(colours, start, count, described, alphas);
      for (const { p, write } of byHand) write(described, alphas, 0, count, values[p]!, start);
      if (solved)
        for (let entry = start; entry < start + count; entry++)
          writeSolved(solved, entry, colours[entry]!, values);
    }
  };
}

/** Describes `count` colours from number `from`, RGBA as one word in memory order, and takes their alpha 0–255 aside. */
export function describeColours(
  colours: Uint32Array,
  from: number,
  count: number,
  described: LabColumns,
  alphas: Uint8Array,
): void {
  const rgba = new RgbaOfWord();
  for (let i = 0; i < count; i++) {
    const at = rgba.of(colours[from + i]!);
    alphas[i] = at[3]!;
    described.setRgba(i, at[0]!, at[1]!, at[2]!, at[3]!);
  }
}

/**
 * Writes a plate's tones, 0–255, of `count` described colours from number `first`, at most `COLOURS_AT_ONCE`, to `out`
 * from `at` on.
 */
export type ToneProgram = (
  colours: LabColumns,
  alphas: Uint8Array,
  first: number,
  count: number,
  out: Uint8Array,
  at: number,
) => void;

/** Compiles a plate's extraction and strength; `remembered` are differences of the colours that it will look at. */
export function toneProgram({ extract, strength }: PlatePlan, remembered?: KnownDifferences): ToneProgram {
  const membership = new Membership(extract, remembered);
  const flat = strength.by === "flat";
  const strengthOf = strengthFunction(strength);
  return (colours, alphas, first, count, out, at) => {
    const members = membership.of(colours, first, count);
    for (let i = 0; i < count; i++) {
      const member = members[i]!;
      // What is clear in the artwork never prints: its alpha is 0.
      const most = member * alphas[first + i]!;
      // Half more and cut off is rounded, since no tone is negative.
      out[at + i] = flat || most === 0 ? most + 0.5 : most * strengthOf(colours, first + i) + 0.5;
    }
  };
}
