import { Thirds } from "../engine/inspect/thirds.ts";
import { type Difference, PixelDifference } from "../engine/print/difference.ts";
import { wholeWords } from "../engine/raster.ts";
import { placeWords } from "../language/place-words.ts";
import type { Recipe } from "../language/recipe.ts";
import type { Print } from "./print.ts";
import { proofDifference } from "./proof-meter.ts";

/**
 * ΔE00 from which a change counts as visible: about what a trained eye tells apart on garments, side by side. Common
 * practice, no source.
 */
export const VISIBLE = 2;

/** How much of a plate prints. */
export interface PlateAmounts {
  /** Mean tone over the whole print, 0–1. */
  readonly coverage: number;
  readonly inkCm2: number;
}

/** A plate in both prints. */
export interface PlateComparison {
  readonly name: string;
  /** Undefined where only the other print has this screen. */
  readonly before: PlateAmounts | undefined;
  readonly after: PlateAmounts | undefined;
  /** Tone that came and that went, as shares of the print area; zero both for equal pixels. */
  readonly up: number;
  readonly down: number;
  /** Where most of that lies, in words. */
  readonly where: string;
}

/** The proofs of a garment with one setup, from both prints. */
export interface GarmentComparison {
  readonly garment: string;
  readonly setup: string;
  /** Of the proof against the artwork. */
  readonly before: Difference | undefined;
  readonly after: Difference | undefined;
  /** Area that differs visibly between the two proofs; undefined where only one print has this garment. */
  readonly visibleCm2: number | undefined;
  /** ΔE00 of the pixel that changed most. */
  readonly most: number;
  readonly where: string;
}

/** What differs between two prints. */
export interface Comparison {
  readonly plates: readonly PlateComparison[];
  readonly garments: readonly GarmentComparison[];
  /** Area of the artwork that is another colour; undefined where its proportions changed. */
  readonly artworkCm2: number | undefined;
  readonly artworkWhere: string;
}

/** Compares two prints of one job, plates and garments by their names. */
export function comparePrints(before: Print, after: Print): Comparison {
  const grid = sampler(before, after);
  const names = new Set([...after.plates.keys(), ...before.plates.keys()]);
  const keys = new Map([...printings(after.recipe), ...printings(before.recipe)]);
  return {
    plates: [...names].map((name) => comparePlate(name, before, after, grid)),
    garments: [...keys.values()].map((key) => compareGarment(key, before, after, grid)),
    ...compareArtwork(before, after),
  };
}

/** Index of the pixel of `before` that lies where pixel `i` of `after` does. */
export type Sampler = (i: number) => number;

/** Of two prints of one job, whose resolutions may differ. */
export function sampler({ picture: was }: Print, { picture: is }: Print): Sampler {
  if (was.width === is.width && was.height === is.height) return (i) => i;
  const [sx, sy] = [was.width / is.width, was.height / is.height];
  return (i) => {
    const [x, y] = [i % is.width, Math.floor(i / is.width)];
    return Math.floor((y + 0.5) * sy) * was.width + Math.floor((x + 0.5) * sx);
  };
}

function comparePlate(name: string, before: Print, after: Print, grid: Sampler): PlateComparison {
  const [was, is] = [before.plates.get(name), after.plates.get(name)];
  const figures = {
    before: was && figuresOf(was.histogram, before),
    after: is && figuresOf(is.histogram, after),
  };
  // Equal stages come out of the cache as one array.
  if (was?.tones === is?.tones) return { name, ...figures, up: 0, down: 0, where: "" };
  const { width, height } = after.picture;
  const places = new Thirds(width, height);
  let [up, down] = [0, 0];
  for (let i = 0; i < after.pixels; i++) {
    const shift = (is ? is.tones[i]! : 0) - (was ? was.tones[grid(i)]! : 0);
    if (shift === 0) continue;
    if (shift > 0) up += shift;
    else down -= shift;
    places.add(i, Math.abs(shift));
  }
  const solid = 255 * after.pixels;
  return { name, ...figures, up: up / solid, down: down / solid, where: said(places) };
}

function figuresOf(histogram: Uint32Array, print: Print): PlateAmounts {
  let sum = 0;
  for (let tone = 1; tone < 256; tone++) sum += tone * histogram[tone]!;
  const coverage = sum / (255 * print.pixels);
  return { coverage, inkCm2: coverage * print.areaCm2(print.pixels) };
}

interface Printing {
  readonly garment: string;
  readonly setup: string;
}

/** Every garment with every setup that prints on it. */
function printings({ setups }: Recipe): [string, Printing][] {
  return [...setups].flatMap(([setup, { garments }]) =>
    garments.map((garment): [string, Printing] => [JSON.stringify([garment, setup]), { garment, setup }]),
  );
}

function compareGarment(
  { garment, setup }: Printing,
  before: Print,
  after: Print,
  grid: Sampler,
): GarmentComparison {
  const [was, is] = [proofOf(before, garment, setup), proofOf(after, garment, setup)];
  const figures = {
    before: was && against(before, garment, setup, was),
    after: is && against(after, garment, setup, is),
  };
  if (!was || !is) return { garment, setup, ...figures, visibleCm2: undefined, most: 0, where: "" };
  const { width, height } = after.picture;
  const places = new Thirds(width, height);
  const difference = new PixelDifference(after.recipe.garments.get(garment)!.colour.lab);
  let [visible, most] = [0, 0];
  for (let i = 0, p = 0; i < after.pixels; i++, p += 3) {
    const q = grid(i) * 3;
    if (was[q] === is[p] && was[q + 1] === is[p + 1] && was[q + 2] === is[p + 2]) continue;
    const value = difference.between(colourAt(was, q), colourAt(is, p));
    if (value > most) most = value;
    if (value < VISIBLE) continue;
    visible++;
    places.add(i);
  }
  return { garment, setup, ...figures, visibleCm2: after.areaCm2(visible), most, where: said(places) };
}

/** The proof of a garment, if that print has it in that setup. */
export function proofOf(print: Print, garment: string, setup: string): Uint8Array | undefined {
  const there = print.recipe.setups.get(setup)?.garments.includes(garment);
  return there ? print.proof(garment, setup) : undefined;
}

function against({ recipe, artwork }: Print, garment: string, setup: string, proof: Uint8Array): Difference {
  return proofDifference(recipe, recipe.setups.get(setup)!, garment, artwork, proof);
}

function compareArtwork(
  { picture: was }: Print,
  after: Print,
): Pick<Comparison, "artworkCm2" | "artworkWhere"> {
  const { picture: is } = after;
  if (was.width !== is.width || was.height !== is.height) return { artworkCm2: undefined, artworkWhere: "" };
  const places = new Thirds(is.width, is.height);
  if (was.data === is.data) return { artworkCm2: 0, artworkWhere: "" };
  const [a, b] = [wholeWords(was.data), wholeWords(is.data)];
  for (let i = 0; i < b.length; i++) if (a[i] !== b[i]) places.add(i);
  return { artworkCm2: after.areaCm2(places.sum), artworkWhere: said(places) };
}

function said(places: Thirds): string {
  return places.sum > 0 ? placeWords(places) : "";
}

/** 0xrrggbb of three bytes. */
export function colourAt(rgb: Uint8Array, at: number): number {
  return (rgb[at]! << 16) | (rgb[at + 1]! << 8) | rgb[at + 2]!;
}
