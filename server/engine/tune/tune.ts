import type { Picture } from "../raster.ts";
import type { TuneJob } from "./job.ts";
import { type Sample, samplePixels, sampleSpecks } from "./sample.ts";
import { SampledPrint } from "./sampled-print.ts";
import { type Move, TuneSearch } from "./search.ts";

export interface TuneOptions {
  /** Pixels printed at most, a garment each: the work that may be done. The same work gives the same result. */
  readonly work: number;
  /** Numbers changed at most. */
  readonly numbers: number;
  /** Pixels that are looked at. */
  readonly pixels: number;
  /** Values to go on from, where these are not the job's own. */
  readonly from?: readonly number[] | undefined;
}

export interface Tuned {
  /** The most worth first. */
  readonly moves: readonly Move[];
  /** Of all dials. */
  readonly values: readonly number[];
  /** Mean ΔE00 of each print at the sampled pixels. */
  readonly before: readonly number[];
  readonly after: readonly number[];
}

/** Places at which specks are looked for. */
const SPECK_PLACES = 500;

/**
 * Moves the numbers of a job so that its prints come nearer to the artwork: each by steps of its own while that makes the
 * print cost less, then by random kicks from which the steps lead elsewhere, and last takes back all that hardly count.
 * Yields the share done. Chance has a fixed seed.
 */
export function* tune(
  job: TuneJob,
  picture: Picture,
  pixelsPerMm: number,
  options: TuneOptions,
): Generator<number, Tuned> {
  const sample = samplePixels(picture, options.pixels);
  const specks = sampleSpecks(picture, pixelsPerMm, SPECK_PLACES);
  const print = new SampledPrint(
    job,
    sample,
    specks,
    picture,
    pixelsPerMm,
    job.dials.map(({ value }) => value),
  );
  const search = new TuneSearch(job, print, options.work);
  const before = search.means;
  if (options.from) search.goTo(options.from);
  const moves =
    job.dials.length > 0 && sample.count > 0
      ? yield* search.run(options.numbers, options.from !== undefined)
      : [];
  return { moves, values: search.values, before, after: search.means };
}

/** Pixels at which each plate's numbers are led on, and as many others at which that is judged. */
const QUICK_PIXELS = 200;
const QUICK_SPECKS = 100;
const QUICK_PASSES = 4;

/**
 * What the numbers of each plate, by number, would bring if they alone were led on by a few steps: mean ΔE00 over all prints,
 * at pixels that the steps did not see. A quick look, for where `tune` is worth its time. Yields after each plate.
 */
export function* plateGains(
  job: TuneJob,
  picture: Picture,
  pixelsPerMm: number,
): Generator<void, ReadonlyMap<number, number>> {
  const values = job.dials.map(({ value }) => value);
  const specks = sampleSpecks(picture, pixelsPerMm, QUICK_SPECKS);
  const seen = samplePixels(picture, QUICK_PIXELS);
  const others = samplePixels(picture, QUICK_PIXELS, QUICK_PIXELS);
  const at = (sample: Sample, of: readonly number[]) =>
    new SampledPrint(job, sample, specks, picture, pixelsPerMm, of);
  const before = at(others, values).mean;
  const search = new TuneSearch(job, at(seen, values), Number.POSITIVE_INFINITY);
  const gains = new Map<number, number>();
  for (const plate of new Set(job.dials.map((dial) => dial.plate))) {
    const led = search.led(plate, QUICK_PASSES);
    gains.set(plate, before - at(others, led).mean);
    yield;
  }
  return gains;
}
