import type { Lab } from "../colour/cielab.ts";
import { fastLab } from "../colour/fast-lab.ts";
import { describeColours } from "../extract/extract.ts";
import { LabColumns } from "../extract/lab-columns.ts";
import { isCompared, PixelDifference } from "../print/difference.ts";
import { type Picture, wholeWords } from "../raster.ts";

/** Pixels of an artwork, described as extractions look at them. */
export interface Sample {
  readonly count: number;
  readonly colours: LabColumns;
  readonly alphas: Uint8Array;
  /** RGBA as one word in memory order. */
  readonly words: Uint32Array;
  /** Places of the pixels in the picture. */
  readonly x: Uint32Array;
  readonly y: Uint32Array;
  /** The artwork as it looks on a garment: L*, a*, b* a pixel. */
  on(garment: Lab): Float64Array;
}

/** The golden section: its turns fall into all gaps of those before, so that any beginning of them lies evenly. */
const GOLDEN = 0.6180339887498949;

/**
 * `count` pixels that stand for all that count in the proof, those that the artwork covers at least half: spread evenly
 * over it, or all where there are no more. The same picture gives the same pixels. `others` are passed over: those that
 * a sample of so many has.
 */
export function samplePixels(picture: Picture, count: number, others = 0): Sample {
  const covered = coveredPixels(picture);
  if (covered.length <= others + count) return sampleOf(picture, covered);
  const at = new Set<number>();
  for (const i of scattered(covered.length)) {
    at.add(covered[i]!);
    if (at.size === others + count) break;
  }
  return sampleOf(picture, Uint32Array.from([...at].slice(others)));
}

/** Places at which a plate may print a speck, each before four pixels around it. */
export interface SpeckSample {
  readonly sample: Sample;
  /** What share of all pixels each place stands for. */
  readonly shares: Float64Array;
}

export const AROUND = 4;
/** Distance of a speck's surroundings, in millimetres: larger things are no specks. */
const REACH_MM = 0.5;
/** Squared distance in sRGB and alpha from which two pixels are unlike. */
const UNLIKE = 24 ** 2;
const MOST_LOOKED = 60_000;

/**
 * At most `count` places unlike what is around them, which small parts of a drawing are, and as many of any kind: in a
 * smooth gradient, a range of hues may take every second pixel of what is nearly grey.
 */
export function sampleSpecks(picture: Picture, pixelsPerMm: number, count: number): SpeckSample {
  const { width, height, data } = picture;
  const reach = Math.max(1, Math.round(REACH_MM * pixelsPerMm));
  const covered = coveredPixels(picture);
  const any = new Set<number>();
  const small = new Set<number>();
  let looked = 0;
  for (const at of scattered(covered.length)) {
    if (looked === Math.min(MOST_LOOKED, covered.length) || small.size === count) break;
    looked++;
    const i = covered[at]!;
    const [x, y] = [i % width, Math.floor(i / width)];
    if (x < reach || y < reach || x >= width - reach || y >= height - reach) continue;
    const unlike = around(i, reach, width).filter((j) => squaredDistance(data, 4 * i, 4 * j) > UNLIKE);
    if (unlike.length >= AROUND - 1) small.add(i);
    else if (any.size < count) any.add(i);
  }
  const places = [...any, ...small];
  const pixels = places.flatMap((i) => [i, ...around(i, reach, width)]);
  return {
    sample: sampleOf(picture, Uint32Array.from(pixels)),
    shares: Float64Array.from(places, (_, k) => 1 / (k < any.size ? any.size : looked)),
  };
}

function around(i: number, reach: number, width: number): number[] {
  return [i - reach, i + reach, i - reach * width, i + reach * width];
}

function squaredDistance(data: Uint8Array, a: number, b: number): number {
  let sum = 0;
  for (let k = 0; k < 4; k++) sum += (data[a + k]! - data[b + k]!) ** 2;
  return sum;
}

function coveredPixels({ width, height, data }: Picture): Uint32Array {
  const covered: number[] = [];
  for (let i = 0; i < width * height; i++) if (isCompared(data, i)) covered.push(i);
  return Uint32Array.from(covered);
}

/** Numbers under `count` in an order that looks like chance, some of them again, without end. */
function* scattered(count: number): Generator<number, void> {
  if (count === 0) return;
  for (let k = 0; ; k++) yield Math.floor(((k * GOLDEN) % 1) * count);
}

function sampleOf(picture: Picture, pixels: Uint32Array): Sample {
  const { width, data } = picture;
  const all = wholeWords(picture.data);
  const words = pixels.map((i) => all[i]!);
  const colours = new LabColumns(pixels.length);
  const alphas = new Uint8Array(pixels.length);
  describeColours(words, 0, pixels.length, colours, alphas);
  return {
    count: pixels.length,
    colours,
    alphas,
    words,
    x: pixels.map((i) => i % width),
    y: pixels.map((i) => Math.floor(i / width)),
    on(garment) {
      const difference = new PixelDifference(garment);
      const lab = new Float64Array(3 * pixels.length);
      for (const [k, i] of pixels.entries()) {
        const rgb = difference.onGarment(data, i);
        fastLab(rgb >> 16, (rgb >> 8) & 255, rgb & 255, lab, 3 * k);
      }
      return lab;
    },
  };
}
