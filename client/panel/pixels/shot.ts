import type { Lab } from "../../../server/engine/colour/cielab.ts";
import { PixelDifference } from "../../../server/engine/print/difference.ts";
import type { PrintConditions, Station } from "../../../server/engine/print/model.ts";
import type { Tones } from "../../../server/engine/raster.ts";
import { printModel } from "./model.ts";
import { changeColour, differenceColour } from "./ramp.ts";

/** Pictures that the panel holds: the text's, the last commit's, and a sharper piece of the text's. */
export type SetName = "now" | "before" | "piece";

export interface Plates {
  readonly plates: ReadonlyMap<string, Tones>;
}

/** One picture's artwork (RGBA) and plates, or some rows of them. */
export interface Rows extends Plates {
  readonly width: number;
  readonly artwork: Uint8Array;
}

/** A station that prints. */
export interface Printing extends Station {
  readonly plate: string;
}

/** A garment with what is printed on it. */
export interface Printed {
  readonly set: SetName;
  readonly conditions: PrintConditions;
  readonly printings: readonly Printing[];
}

/** A picture to be made of the plates. */
export type Shot =
  | ({ readonly kind: "proof" } & Printed)
  /** The artwork as it looks on the garment. */
  | { readonly kind: "artwork"; readonly set: SetName; readonly garment: Lab }
  /** ΔE00 of the proof against the artwork. */
  | ({ readonly kind: "difference" } & Printed)
  /** Black where ink is, clear elsewhere. */
  | { readonly kind: "film"; readonly set: SetName; readonly plate: string }
  /** ΔE00 between two proofs of one size. */
  | { readonly kind: "change"; readonly set: SetName; readonly now: Printed; readonly before: Printed }
  /** More or less ink on a plate than before. */
  | { readonly kind: "plateChange"; readonly set: SetName; readonly plate: string };

/** RGBA of the shot's rows, and ΔE00 over what the artwork covers, where the shot is about differences. */
export interface Developed {
  readonly rgba: Uint8ClampedArray<ArrayBuffer>;
  /** ΔE00 of each pixel in steps of 0.05, counted; the last step holds all that is beyond. */
  readonly counts?: Uint32Array<ArrayBuffer>;
  /** What is wanted back under this number, since the next such picture is made of it. */
  readonly loan?: number;
}

export const COUNT_STEP = 0.05;
const COUNT_STEPS = 2000;

/** Pixels printed at a time. */
const BLOCK = 1 << 14;

/** Makes the picture. What a set does not hold counts as empty. */
export function develop(shot: Shot, rowsOf: (set: SetName) => Rows | undefined): Developed | undefined {
  const rows = rowsOf(shot.set);
  if (!rows) return undefined;
  const rgba = new Uint8ClampedArray(rows.artwork.length);
  switch (shot.kind) {
    case "proof":
      printRows(rows, shot, rgba);
      return { rgba };
    case "artwork": {
      const looks = new PixelDifference(shot.garment);
      for (let i = 0; i * 4 < rgba.length; i++) put(rgba, i, looks.onGarment(rows.artwork, i));
      return { rgba };
    }
    case "difference":
      return { rgba, counts: differenceMap(rows, shot, rgba) };
    case "film": {
      const tones = rows.plates.get(shot.plate);
      if (tones) for (let i = 0; i < tones.length; i++) rgba[i * 4 + 3] = tones[i]!;
      return { rgba };
    }
    case "change": {
      const before = rowsOf("before");
      if (before?.artwork.length !== rows.artwork.length) return undefined;
      return { rgba, counts: changeMap(rows, before, shot.now, shot.before, rgba) };
    }
    case "plateChange": {
      const before = rowsOf("before");
      if (before?.artwork.length !== rows.artwork.length) return undefined;
      const now = rows.plates.get(shot.plate);
      const then = before.plates.get(shot.plate);
      for (let i = 0; i * 4 < rgba.length; i++)
        put(rgba, i, changeColour((now?.[i] ?? 0) - (then?.[i] ?? 0)));
      return { rgba };
    }
  }
}

/** The proof's colour at one pixel, 0xrrggbb. */
export function colourAt(rows: Rows, printed: Printed, i: number): number {
  const out = new Uint8Array(3);
  const { stations, tones } = stationsOf(rows, printed);
  printModel(printed.conditions, stations).print(tones, i, i + 1, out);
  return (out[0]! << 16) | (out[1]! << 8) | out[2]!;
}

/** Mean and 95th percentile of counted differences. */
export function figuresOf(counts: readonly Uint32Array[]): { mean: number; p95: number } {
  let pixels = 0;
  let sum = 0;
  const all = new Uint32Array(COUNT_STEPS + 1);
  for (const part of counts)
    for (const [i, count] of part.entries()) {
      all[i]! += count;
      pixels += count;
      sum += count * i * COUNT_STEP;
    }
  if (pixels === 0) return { mean: 0, p95: 0 };
  let left = Math.ceil(pixels * 0.95);
  let index = 0;
  while (left > all[index]!) left -= all[index++]!;
  return { mean: sum / pixels, p95: index * COUNT_STEP };
}

/** The stations whose plates are there, with their tones. */
function stationsOf(rows: Plates, { printings }: Printed): { stations: Printing[]; tones: Tones[] } {
  const stations = printings.filter(({ plate }) => rows.plates.has(plate));
  return { stations, tones: stations.map(({ plate }) => rows.plates.get(plate)!) };
}

/** Prints some pixels as a small picture of their own; `gather` puts a plate's tones of them side by side. RGBA. */
export function printSome(
  { plates }: Plates,
  printed: Printed,
  pixels: number,
  gather: (tones: Tones, some: Uint8Array) => void,
): Uint8ClampedArray<ArrayBuffer> {
  const gathered = new Map<string, Tones>();
  for (const { plate } of printed.printings) {
    const tones = plates.get(plate);
    if (!tones || gathered.has(plate)) continue;
    const some = new Uint8Array(pixels);
    gather(tones, some);
    gathered.set(plate, some);
  }
  const small = new Uint8ClampedArray(pixels * 4);
  printRows({ plates: gathered }, printed, small);
  return small;
}

/** Prints the pixels at some places of a picture: side by side, and then each into its own. */
export function printAt(
  rows: Plates,
  printed: Printed,
  places: Uint32Array,
  rgba: Uint8ClampedArray<ArrayBuffer>,
): void {
  const small = printSome(rows, printed, places.length, (tones, some) => {
    for (let i = 0; i < places.length; i++) some[i] = tones[places[i]!]!;
  });
  putAt(places, small, rgba);
}

/** Puts pixels that lie side by side each into its own place. */
export function putAt(
  places: Uint32Array,
  small: Uint8ClampedArray<ArrayBuffer>,
  rgba: Uint8ClampedArray<ArrayBuffer>,
): void {
  const from = new Uint32Array(small.buffer);
  const to = new Uint32Array(rgba.buffer);
  for (let i = 0; i < places.length; i++) to[places[i]!] = from[i]!;
}

/** Pixels that are printed to have the code compiled. */
const WARMING = 1 << 13;

/** Prints a picture of no meaning, in which clear, solid and halftone tones meet. */
export function warm(printed: Printed): void {
  const clearEvery = printed.printings.length;
  const plates = printed.printings.map(({ plate }, p): [string, Tones] => {
    const tone = (_: unknown, i: number) =>
      (i + p) % clearEvery < clearEvery - 3 ? 0 : (i * 37 + p * 91) & 255;
    return [plate, Uint8Array.from({ length: WARMING }, tone)];
  });
  printRows({ plates: new Map(plates) }, printed, new Uint8ClampedArray(WARMING * 4));
}

/** Prints into a whole RGBA picture. */
export function printRows(rows: Plates, printed: Printed, rgba: Uint8ClampedArray): void {
  const { stations, tones } = stationsOf(rows, printed);
  printModel(printed.conditions, stations).print(tones, 0, rgba.length / 4, rgba, 4);
}

function eachBlock(
  rows: Plates,
  printed: Printed,
  pixels: number,
  take: (start: number, rgb: Uint8Array) => void,
): void {
  const { stations, tones } = stationsOf(rows, printed);
  const print = printModel(printed.conditions, stations);
  const buffer = new Uint8Array(BLOCK * 3);
  for (let start = 0; start < pixels; start += BLOCK) {
    const end = Math.min(pixels, start + BLOCK);
    const rgb = buffer.subarray(0, (end - start) * 3);
    print.print(tones, start, end, rgb);
    take(start, rgb);
  }
}

function differenceMap(rows: Rows, printed: Printed, rgba: Uint8ClampedArray): Uint32Array<ArrayBuffer> {
  const counts = new Uint32Array(COUNT_STEPS + 1);
  const meter = new PixelDifference(printed.conditions.garment);
  eachBlock(rows, printed, rgba.length / 4, (start, rgb) => {
    for (let p = 0, i = start; p < rgb.length; p += 3, i++) {
      // What the artwork covers less than half is left clear, and not counted, as in the command line's figures.
      if (rows.artwork[i * 4 + 3]! < 128) continue;
      const proof = (rgb[p]! << 16) | (rgb[p + 1]! << 8) | rgb[p + 2]!;
      const difference = meter.between(meter.onGarment(rows.artwork, i), proof);
      counts[Math.min(COUNT_STEPS, Math.round(difference / COUNT_STEP))]!++;
      put(rgba, i, differenceColour(difference));
    }
  });
  return counts;
}

function changeMap(
  rows: Rows,
  old: Rows,
  now: Printed,
  before: Printed,
  rgba: Uint8ClampedArray,
): Uint32Array<ArrayBuffer> {
  const counts = new Uint32Array(COUNT_STEPS + 1);
  const meter = new PixelDifference(now.conditions.garment);
  const then = new Uint8Array((rows.artwork.length / 4) * 3);
  eachBlock(old, before, rgba.length / 4, (start, rgb) => then.set(rgb, start * 3));
  eachBlock(rows, now, rgba.length / 4, (start, rgb) => {
    for (let p = 0, i = start; p < rgb.length; p += 3, i++) {
      const at = i * 3;
      const difference = meter.between(
        (then[at]! << 16) | (then[at + 1]! << 8) | then[at + 2]!,
        (rgb[p]! << 16) | (rgb[p + 1]! << 8) | rgb[p + 2]!,
      );
      counts[Math.min(COUNT_STEPS, Math.round(difference / COUNT_STEP))]!++;
      put(rgba, i, differenceColour(difference));
    }
  });
  return counts;
}

function put(rgba: Uint8ClampedArray, i: number, colour: number): void {
  rgba[i * 4] = colour >> 16;
  rgba[i * 4 + 1] = (colour >> 8) & 255;
  rgba[i * 4 + 2] = colour & 255;
  rgba[i * 4 + 3] = 255;
}
