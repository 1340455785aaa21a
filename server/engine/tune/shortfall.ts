import { deltaE00 } from "../colour/ciede2000.ts";
import type { Lab } from "../colour/cielab.ts";
import type { SolvedTones } from "../extract/solved-tones.ts";
import type { Picture } from "../raster.ts";
import { isSolved, solveTones } from "../solve/solved-tones.ts";
import { type Apart, partings } from "./apart.ts";
import { bestTones, ColourPrint } from "./colour-print.ts";
import type { TuneJob } from "./job.ts";
import { type Sample, samplePixels } from "./sample.ts";
import { SampledPlates } from "./sampled-plates.ts";

/** Why a job's prints are as far from the artwork as they are. */
export interface Shortfall {
  readonly garments: readonly GarmentShortfall[];
  /** The screen more that would bring most; undefined where all screens print in one setup alone. */
  readonly apart: Apart | undefined;
}

/** Why a garment's print is as far off as it is: mean ΔE00, in parts that sum to it. */
export interface GarmentShortfall {
  readonly garment: string;
  readonly mean: number;
  /** What is left with the best tones for each colour: no tones of these inks print it. */
  readonly gamut: number;
  /** What is lost since garments share their screens. */
  readonly sharing: number;
  /** What is lost since plates are left out of colours that they would help. */
  readonly shape: number;
  /** What the best tones of those that print there would gain. */
  readonly tone: number;
  /** The ink that would bring most, printed solid where it is nearest, and how much that is. */
  readonly ink: { readonly colour: Lab; readonly gain: number };
  /** The plate that would bring most where it is left out, besides the best tones of those that print there. */
  readonly leftOut: PlateGain | undefined;
  /** The plate whose best tones by themselves would bring most. */
  readonly offTone: PlateGain | undefined;
}

export interface PlateGain {
  readonly plate: string;
  /** Mean ΔE00 on the garment. */
  readonly gain: number;
}

/** Shares of the work until solved plates are solved, and until all but screens apart are split. */
const SOLVED = 0.3;
const SPLIT = 0.9;

/**
 * Splits the differences of a job's prints at some of its pixels, with these values of its numbers: each colour printed with
 * the best tones for its garment alone, with the best that all garments share, with the best of those plates that print
 * there, and as it is. Yields the share done.
 */
export function* shortfall(
  job: TuneJob,
  picture: Picture,
  pixelsPerMm: number,
  values: ArrayLike<number>,
  pixels: number,
): Generator<number, Shortfall> {
  const sample = samplePixels(picture, pixels);
  const solved = yield* solvedTones(job);
  const { final, screenOf } = new SampledPlates(job, sample, picture, pixelsPerMm, values, solved);
  const names = job.plan.plates.map(({ name }) => name);
  const places = job.prints.map(({ stations }) => stations.map(({ plate }) => names.indexOf(plate)));
  const all = [...new Set(places.flat())].filter((p) => screenOf[p] === p);
  const prints = job.prints.map((print, g) => new ColourPrint(print, places[g]!, sample));
  const sums = prints.map(() => ({
    shared: 0,
    shaped: 0,
    mean: 0,
    gamut: new Float64Array(sample.count),
    leftOut: new Float64Array(names.length),
    offTone: new Float64Array(names.length),
  }));
  const total = job.prints.reduce((sum, { weight }) => sum + weight, 0);
  const weights = job.prints.map(({ weight }) => weight / total);
  const parted = partings(job, sample, weights);
  const partedSums = parted.map(() => 0);
  const sharedTones: Float64Array[] = [];
  for (let i = 0; i < sample.count; i++) {
    const tones = Float64Array.from(final, (of) => of[i]! / 255);
    const joint = (at: Float64Array) =>
      prints.reduce((sum, print, g) => sum + weights[g]! * print.at(at, i), 0);
    const shaped = bestTones(
      joint,
      [tones],
      all.filter((p) => tones[p]! > 0),
    );
    const shared = bestTones(joint, [shaped, ...starts(tones, all)], all);
    sharedTones.push(shared);
    for (const [g, print] of prints.entries()) {
      const alone = bestTones((at) => print.at(at, i), [shared, shaped], all);
      const of = sums[g]!;
      of.gamut[i] = print.at(alone, i);
      of.shared += print.at(shared, i);
      of.shaped += print.at(shaped, i);
      of.mean += print.at(tones, i);
    }
    for (const p of all) {
      const isOut = tones[p] === 0;
      const from = isOut ? shaped : tones;
      const own = bestTones(joint, [from], [p]);
      for (const [g, print] of prints.entries()) {
        const gains = isOut ? sums[g]!.leftOut : sums[g]!.offTone;
        gains[p]! += print.at(from, i) - print.at(own, i);
      }
    }
    for (const [k, one] of parted.entries()) partedSums[k]! += weighted(one.best(shared, i, []), weights);
    yield SOLVED + (SPLIT - SOLVED) * ((i + 1) / sample.count);
  }
  const count = Math.max(1, sample.count);
  const best = (gains: Float64Array): PlateGain | undefined => {
    const [most] = all.toSorted((p, q) => gains[q]! - gains[p]!);
    if (most === undefined || gains[most]! <= 0) return undefined;
    return { plate: names[most]!, gain: gains[most]! / count };
  };
  const garments = sums.map(({ gamut, shared, shaped, mean, leftOut, offTone }, g): GarmentShortfall => {
    const least = gamut.reduce((sum, miss) => sum + miss, 0);
    return {
      garment: job.prints[g]!.garment,
      mean: mean / count,
      gamut: least / count,
      sharing: (shared - least) / count,
      shape: (shaped - shared) / count,
      tone: (mean - shaped) / count,
      ink: missingInk(sample, gamut),
      leftOut: best(leftOut),
      offTone: best(offTone),
    };
  });
  // What the two screens alone bring says which is worth looking at with all others led on.
  const [most] = parted.map((one, k) => ({ one, off: partedSums[k]! })).sort((a, b) => a.off - b.off);
  if (!most) return { garments, apart: undefined };
  const { plate, setup } = most.one;
  const apart = prints.map(() => 0);
  for (const [i, shared] of sharedTones.entries()) {
    const others = all.filter((p) => p !== plate);
    for (const [g, off] of most.one.best(shared, i, others).entries())
      apart[g]! += (prints[g]!.at(shared, i) - off) / count;
    yield SPLIT + (1 - SPLIT) * ((i + 1) / sample.count);
  }
  return {
    garments,
    apart: { plate: names[plate]!, setup, gains: apart, gain: weighted(apart, weights) },
  };
}

function* solvedTones({ plan }: TuneJob): Generator<number, SolvedTones | undefined> {
  if (!plan.plates.some(({ strength }) => isSolved(strength))) return undefined;
  const solving = solveTones(plan);
  for (;;) {
    const step = solving.next();
    if (step.done) return step.value;
    yield SOLVED * step.value;
  }
}

function weighted(values: readonly number[], weights: readonly number[]): number {
  return values.reduce((sum, value, g) => sum + weights[g]! * value, 0);
}

/** The colour of the sample that as an ink would bring most: printed solid, it is as far from each colour as the two are. */
function missingInk({ colours: { L, a, b }, count }: Sample, missed: Float64Array): GarmentShortfall["ink"] {
  let best = { at: 0, gain: 0 };
  for (let at = 0; at < count; at++) {
    let gain = 0;
    for (let i = 0; i < count; i++) {
      // Nothing is gained where the ink is further off in lightness alone.
      if (missed[i]! < 1 || Math.abs(L[i]! - L[at]!) > 2 * missed[i]!) continue;
      gain += Math.max(0, missed[i]! - deltaE00(L[i]!, a[i]!, b[i]!, L[at]!, a[at]!, b[at]!));
    }
    if (gain > best.gain) best = { at, gain };
  }
  return { colour: { L: L[best.at]!, a: a[best.at]!, b: b[best.at]! }, gain: best.gain / Math.max(1, count) };
}

/** Beginnings of a search: what prints there with each plate by itself taken in whole. */
function starts(tones: Float64Array, plates: readonly number[]): Float64Array[] {
  return plates.map((p) => {
    const start = tones.map((tone) => (tone === 1 ? tone : 0));
    start[p] = 1;
    return start;
  });
}
