import { deltaE00 } from "../colour/ciede2000.ts";
import type { Lab } from "../colour/cielab.ts";
import { type PrintModel, preparePrint } from "../print/model.ts";
import { NestedMixer } from "../print/nesting.ts";
import type { Picture } from "../raster.ts";
import { Difference } from "../solve/objective.ts";
import type { TuneJob } from "./job.ts";
import { type Sample, samplePixels } from "./sample.ts";
import { SampledPlates } from "./sampled-plates.ts";

/** Why a garment's print is as far from the artwork as it is: mean ΔE00, in parts that sum to it. */
export interface Shortfall {
  readonly garment: string;
  readonly mean: number;
  /** What is left with the best tones for each colour: no tones of these inks print it. */
  readonly gamut: number;
  /** What is lost since garments share their screens. */
  readonly sharing: number;
  /** What is lost since plates print only where their ranges let them. */
  readonly shape: number;
  /** What the best tones there would gain. */
  readonly tone: number;
  /** The ink that would bring most, printed solid where it is nearest, and how much that is. */
  readonly ink: { readonly colour: Lab; readonly gain: number };
  /** The shared plate that would bring most as a screen of this garment's own. */
  readonly apart: { readonly plate: string; readonly gain: number } | undefined;
}

/** Steps of tone by which the best is looked for. */
const STEPS = [0.5, 0.25, 0.12, 0.06, 0.03];
const PASSES = 3;

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
): Generator<number, readonly Shortfall[]> {
  const sample = samplePixels(picture, pixels);
  const { final, screenOf } = new SampledPlates(job, sample, picture, pixelsPerMm, values);
  const names = job.plan.plates.map(({ name }) => name);
  const printed = new Set(
    job.prints.flatMap(({ stations }) => stations.map(({ plate }) => names.indexOf(plate))),
  );
  const all = [...printed].filter((p) => screenOf[p] === p);
  const prints = job.prints.map((print) => new ColourPrint(print, names, sample));
  const sums = prints.map(() => ({ shared: 0, shaped: 0, mean: 0, gamut: new Float64Array(sample.count) }));
  /** What each plate would gain apart from the others' garments, for each print. */
  const apart = prints.map(() => new Float64Array(names.length));
  const total = job.prints.reduce((sum, { weight }) => sum + weight, 0);
  const weights = job.prints.map(({ weight }) => weight / total);
  for (let i = 0; i < sample.count; i++) {
    const tones = Float64Array.from(final, (of) => of[i]! / 255);
    const asIs = prints.map((print) => print.at(tones, i));
    const joint = (at: Float64Array) =>
      prints.reduce((sum, print, g) => sum + weights[g]! * print.at(at, i), 0);
    const shaped = bestTones(
      joint,
      [tones],
      all.filter((p) => tones[p]! > 0),
    );
    const shared = bestTones(joint, [shaped, ...starts(tones, all)], all);
    for (const [g, print] of prints.entries()) {
      const alone = bestTones((at) => print.at(at, i), [shared, shaped], all);
      const of = sums[g]!;
      of.gamut[i] = print.at(alone, i);
      of.shared += print.at(shared, i);
      of.shaped += print.at(shaped, i);
      of.mean += asIs[g]!;
      if (prints.length === 1) continue;
      for (const p of all) {
        const own = bestTones((at) => print.at(at, i), [shared], [p]);
        apart[g]![p]! += print.at(shared, i) - print.at(own, i);
      }
    }
    yield (i + 1) / sample.count;
  }
  const count = Math.max(1, sample.count);
  return sums.map(({ gamut, shared, shaped, mean }, g) => {
    const least = gamut.reduce((sum, miss) => sum + miss, 0);
    const [best] = all
      .map((p) => ({ plate: names[p]!, gain: apart[g]![p]! / count }))
      .sort((p, q) => q.gain - p.gain);
    return {
      garment: job.prints[g]!.garment,
      mean: mean / count,
      gamut: least / count,
      sharing: (shared - least) / count,
      shape: (shaped - shared) / count,
      tone: (mean - shaped) / count,
      ink: missingInk(sample, gamut),
      apart: best && best.gain > 0 ? best : undefined,
    };
  });
}

/** The colour of the sample that as an ink would bring most: printed solid, it is as far from each colour as the two are. */
function missingInk({ colours: { L, a, b }, count }: Sample, missed: Float64Array): Shortfall["ink"] {
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

/** The tones of some plates at which a cost is least, from the best of some beginnings, plate by plate. */
function bestTones(
  cost: (tones: Float64Array) => number,
  beginnings: readonly Float64Array[],
  plates: readonly number[],
): Float64Array {
  let best = beginnings[0]!;
  let least = Number.POSITIVE_INFINITY;
  for (const beginning of [...beginnings].sort((p, q) => cost(p) - cost(q)).slice(0, 2)) {
    const tones = beginning.slice();
    let here = cost(tones);
    for (const step of STEPS) {
      for (let pass = 0; pass < PASSES; pass++) {
        let moved = false;
        for (const p of plates) {
          for (const by of [step, -step]) {
            const was = tones[p]!;
            tones[p] = Math.min(1, Math.max(0, was + by));
            const now = tones[p] === was ? here : cost(tones);
            if (now < here - 1e-6) {
              here = now;
              moved = true;
              break;
            }
            tones[p] = was;
          }
        }
        if (!moved) break;
      }
    }
    if (here < least) {
      least = here;
      best = tones;
    }
  }
  return best;
}

/** One print, a colour at a time, from any tones of its plates. */
class ColourPrint {
  readonly #model: PrintModel;
  readonly #mixer: NestedMixer;
  readonly #plates: readonly number[];
  readonly #areas: Float64Array;
  readonly #artwork: Float64Array;
  readonly #difference: Difference;
  readonly #target = { L: 0, a: 0, b: 0 };

  constructor({ conditions, stations }: TuneJob["prints"][number], names: readonly string[], sample: Sample) {
    this.#model = preparePrint(conditions, stations);
    if (!this.#model.table) throw new Error(`${stations.length} printing stations are too many to tune`);
    this.#mixer = new NestedMixer(this.#model.table, stations.length, this.#model.lattices);
    this.#plates = stations.map(({ plate }) => names.indexOf(plate));
    this.#areas = new Float64Array(stations.length);
    this.#artwork = sample.on(conditions.garment);
    this.#difference = new Difference(conditions.n);
    this.#difference.set(this.#target);
  }

  /** ΔE00 of plates' tones 0–1 from the artwork at pixel `i` of the sample. */
  at(tones: Float64Array, i: number): number {
    for (let s = 0; s < this.#plates.length; s++)
      this.#areas[s] = areaAt(this.#model.areas[s]!, tones[this.#plates[s]!]!);
    this.#mixer.mix(this.#areas);
    this.#target.L = this.#artwork[3 * i]!;
    this.#target.a = this.#artwork[3 * i + 1]!;
    this.#target.b = this.#artwork[3 * i + 2]!;
    return Math.sqrt(this.#difference.at(this.#mixer.mixed));
  }
}

function areaAt(table: Float32Array, tone: number): number {
  const x = tone * 255;
  const i = Math.min(254, Math.floor(x));
  return table[i]! + (table[i + 1]! - table[i]!) * (x - i);
}
