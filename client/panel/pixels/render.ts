import type { Lab } from "../../../server/engine/colour/cielab.ts";
import { DifferenceTally, isCompared, PixelDifference } from "../../../server/engine/print/difference.ts";
import type { PrintConditions, Station } from "../../../server/engine/print/model.ts";
import type { Tones } from "../../../server/engine/raster.ts";
import { changeColour, differenceColour } from "./colour-scale.ts";
import { printModel } from "./print-model.ts";
import { Squares, type WorstPlace } from "./worst-places.ts";

/** Pictures that come from the server: the text's, the last commit's, and a sharper crop of the text's. */
export type SentName = "now" | "before" | "crop";
/** The text's and its crop's with their plates as one print has them. */
export type SlidName = "slid" | "slidCrop";
/** Pictures that the panel holds. */
export type PictureName = SentName | SlidName;

/** Tones of plates by name, a byte a pixel. */
export interface PlateMap {
  readonly plates: ReadonlyMap<string, Tones>;
}

/** One picture's artwork (RGBA) and plates, or some rows of them. */
export interface Rows extends PlateMap {
  readonly width: number;
  readonly artwork: Uint8Array;
}

/** A station that prints. */
export interface PrintingStation extends Station {
  readonly plate: string;
}

/** A garment with what is printed on it. */
export interface ProofSpec {
  readonly source: PictureName;
  readonly conditions: PrintConditions;
  readonly stations: readonly PrintingStation[];
}

/** A picture to be made of the plates. */
export type RenderRequest =
  | ({ readonly kind: "proof" } & ProofSpec)
  /** The same, and where it is farthest from what it would be in register. */
  | ({ readonly kind: "onePrint"; readonly inRegister: ProofSpec } & ProofSpec)
  /** The artwork as it looks on the garment. */
  | { readonly kind: "artwork"; readonly source: PictureName; readonly garment: Lab }
  /** ΔE00 of the proof against the artwork. */
  | ({ readonly kind: "difference"; readonly end: number } & ProofSpec)
  /** Black where ink is, clear elsewhere. */
  | { readonly kind: "film"; readonly source: PictureName; readonly plate: string }
  /** ΔE00 between two proofs of one size. */
  | {
      readonly kind: "change";
      readonly source: PictureName;
      readonly end: number;
      readonly now: ProofSpec;
      readonly before: ProofSpec;
    }
  /** More or less ink on a plate than before. */
  | { readonly kind: "plateChange"; readonly source: PictureName; readonly plate: string };

/** RGBA of the request's rows. */
export interface Rendered {
  readonly rgba: Uint8ClampedArray<ArrayBuffer>;
  /** ΔE00 of the pixels compared, where the request is about differences. */
  readonly tally?: Omit<DifferenceTally, "add">;
  /** Where it is worst. */
  readonly worst?: readonly WorstPlace[];
  /** The buffer is to be returned under this number, since the next such picture is made in it. */
  readonly returnAs?: number;
}

/** Pixels printed at a time. */
const BLOCK = 1 << 14;

/** Makes the picture; undefined where there are no such rows. A plate that is not there counts as empty. */
export function render(
  request: RenderRequest,
  rowsOf: (source: PictureName) => Rows | undefined,
): Rendered | undefined {
  const rows = rowsOf(request.source);
  if (!rows) return undefined;
  const rgba = new Uint8ClampedArray(rows.artwork.length);
  switch (request.kind) {
    case "proof":
      printRows(rows, request, rgba);
      return { rgba };
    case "onePrint": {
      printRows(rows, request, rgba);
      const inRegister = rowsOf(request.inRegister.source);
      if (inRegister?.artwork.length !== rows.artwork.length) return undefined;
      return { rgba, worst: worstSlips(inRegister, request.inRegister, rgba) };
    }
    case "artwork": {
      const looks = new PixelDifference(request.garment);
      for (let i = 0; i * 4 < rgba.length; i++) put(rgba, i, looks.onGarment(rows.artwork, i));
      return { rgba };
    }
    case "difference":
      return { rgba, ...differenceMap(rows, request, request.end, rgba) };
    case "film": {
      const tones = rows.plates.get(request.plate);
      if (tones) for (let i = 0; i < tones.length; i++) rgba[i * 4 + 3] = tones[i]!;
      return { rgba };
    }
    case "change": {
      const before = rowsOf("before");
      if (before?.artwork.length !== rows.artwork.length) return undefined;
      return { rgba, tally: changeMap(rows, before, request, rgba) };
    }
    case "plateChange": {
      const before = rowsOf("before");
      if (before?.artwork.length !== rows.artwork.length) return undefined;
      const now = rows.plates.get(request.plate);
      const then = before.plates.get(request.plate);
      for (let i = 0; i * 4 < rgba.length; i++)
        put(rgba, i, changeColour((now?.[i] ?? 0) - (then?.[i] ?? 0)));
      return { rgba };
    }
  }
}

/** The proof's colour at one pixel, 0xrrggbb. */
export function colourAt(rows: Rows, proof: ProofSpec, i: number): number {
  const out = new Uint8Array(3);
  const { stations, tones } = printedBy(rows, proof);
  printModel(proof.conditions, stations).print(tones, i, i + 1, out);
  return colourOf(out, 0);
}

/** The stations whose plates are there, with their tones. */
function printedBy(
  { plates }: PlateMap,
  { stations }: ProofSpec,
): { stations: PrintingStation[]; tones: Tones[] } {
  const there = stations.filter(({ plate }) => plates.has(plate));
  return { stations: there, tones: there.map(({ plate }) => plates.get(plate)!) };
}

/** Prints some pixels as a small picture of their own; `gather` puts a plate's tones of them side by side. RGBA. */
export function printSome(
  { plates }: PlateMap,
  proof: ProofSpec,
  pixels: number,
  gather: (tones: Tones, some: Uint8Array) => void,
): Uint8ClampedArray<ArrayBuffer> {
  const gathered = new Map<string, Tones>();
  for (const { plate } of proof.stations) {
    const tones = plates.get(plate);
    if (!tones || gathered.has(plate)) continue;
    const some = new Uint8Array(pixels);
    gather(tones, some);
    gathered.set(plate, some);
  }
  const small = new Uint8ClampedArray(pixels * 4);
  printRows({ plates: gathered }, proof, small);
  return small;
}

/** Prints the pixels at some places of a picture: side by side, and then each into its own. */
export function printAt(
  rows: PlateMap,
  proof: ProofSpec,
  places: Uint32Array,
  rgba: Uint8ClampedArray<ArrayBuffer>,
): void {
  const small = printSome(rows, proof, places.length, (tones, some) => {
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
export function warm(proof: ProofSpec): void {
  const clearEvery = proof.stations.length;
  const plates = proof.stations.map(({ plate }, p): [string, Tones] => {
    const tone = (_: unknown, i: number) =>
      (i + p) % clearEvery < clearEvery - 3 ? 0 : (i * 37 + p * 91) & 255;
    return [plate, Uint8Array.from({ length: WARMING }, tone)];
  });
  printRows({ plates: new Map(plates) }, proof, new Uint8ClampedArray(WARMING * 4));
}

/** Prints into a whole RGBA picture. */
export function printRows(rows: PlateMap, proof: ProofSpec, rgba: Uint8ClampedArray): void {
  const { stations, tones } = printedBy(rows, proof);
  printModel(proof.conditions, stations).print(tones, 0, rgba.length / 4, rgba, 4);
}

function eachBlock(
  rows: PlateMap,
  proof: ProofSpec,
  pixels: number,
  take: (start: number, rgb: Uint8Array) => void,
): void {
  const { stations, tones } = printedBy(rows, proof);
  const print = printModel(proof.conditions, stations);
  const buffer = new Uint8Array(BLOCK * 3);
  for (let start = 0; start < pixels; start += BLOCK) {
    const end = Math.min(pixels, start + BLOCK);
    const rgb = buffer.subarray(0, (end - start) * 3);
    print.print(tones, start, end, rgb);
    take(start, rgb);
  }
}

/** The artwork against its proof. What is not compared stays clear. */
function differenceMap(
  rows: Rows,
  proof: ProofSpec,
  scale: number,
  rgba: Uint8ClampedArray,
): Required<Pick<Rendered, "tally" | "worst">> {
  const tally = new DifferenceTally();
  const squares = new Squares(rows.width, rgba.length / 4 / rows.width);
  const meter = new PixelDifference(proof.conditions.garment);
  eachBlock(rows, proof, rgba.length / 4, (start, rgb) => {
    for (let p = 0, i = start; p < rgb.length; p += 3, i++) {
      if (!isCompared(rows.artwork, i)) continue;
      const difference = meter.between(meter.onGarment(rows.artwork, i), colourOf(rgb, p));
      tally.add(difference);
      squares.add(i, difference);
      put(rgba, i, differenceColour(difference, scale));
    }
  });
  return { tally, worst: squares.worst() };
}

/** Where one print in RGBA is farthest from the same in register. */
function worstSlips(rows: Rows, inRegister: ProofSpec, print: Uint8ClampedArray): readonly WorstPlace[] {
  const squares = new Squares(rows.width, print.length / 4 / rows.width);
  const meter = new PixelDifference(inRegister.conditions.garment);
  eachBlock(rows, inRegister, print.length / 4, (start, rgb) => {
    for (let p = 0, i = start; p < rgb.length; p += 3, i++) {
      const [now, then] = [colourOf(print, i * 4), colourOf(rgb, p)];
      if (now !== then) squares.add(i, meter.between(then, now));
    }
  });
  return squares.worst();
}

function changeMap(
  rows: Rows,
  old: Rows,
  { now, before, end: scale }: RenderRequest & { kind: "change" },
  rgba: Uint8ClampedArray,
): DifferenceTally {
  const tally = new DifferenceTally();
  const meter = new PixelDifference(now.conditions.garment);
  const then = new Uint8Array((rows.artwork.length / 4) * 3);
  eachBlock(old, before, rgba.length / 4, (start, rgb) => then.set(rgb, start * 3));
  eachBlock(rows, now, rgba.length / 4, (start, rgb) => {
    for (let p = 0, i = start; p < rgb.length; p += 3, i++) {
      const difference = meter.between(colourOf(then, i * 3), colourOf(rgb, p));
      tally.add(difference);
      put(rgba, i, differenceColour(difference, scale));
    }
  });
  return tally;
}

/** 0xrrggbb of three bytes. */
function colourOf(rgb: ArrayLike<number>, at: number): number {
  return (rgb[at]! << 16) | (rgb[at + 1]! << 8) | rgb[at + 2]!;
}

function put(rgba: Uint8ClampedArray, i: number, colour: number): void {
  rgba[i * 4] = colour >> 16;
  rgba[i * 4 + 1] = (colour >> 8) & 255;
  rgba[i * 4 + 2] = colour & 255;
  rgba[i * 4 + 3] = 255;
}
