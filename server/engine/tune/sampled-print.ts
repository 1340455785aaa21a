import { type PrintModel, preparePrint } from "../print/model.ts";
import { NestedMixer } from "../print/nesting.ts";
import type { Extent, Tones } from "../raster.ts";
import { Difference } from "../solve/objective.ts";
import type { PlateMaking, TuneJob } from "./job.ts";
import { AROUND, type Sample, type SpeckSample } from "./sample.ts";
import { type ChangedPlates, SampledPlates } from "./sampled-plates.ts";

/** Tones under this share print as a tint that gains little and shows its dots; what one costs, in ΔE00. */
const TINT = { under: 0.08, cost: 0.15 };
/** What a pixel in a speck costs, in ΔE00. */
const SPECK = 30;
/** What ink over the limit that lies wet at once costs, in ΔE00 a whole tone. */
const WET = 20;
/** How much ΔE00² counts beside ΔE00, so that what is far off counts more. */
const FAR = 0.03;
/** A plate that keeps less than this of its ink is being emptied, and what that costs, in ΔE00. */
const KEPT = { share: 0.4, cost: 3 };
/** What it costs that a garment is further off than at first, for each ΔE00. */
const WORSE = 4;

/**
 * What a job's prints cost at sampled pixels: how far they are from the artwork, and what a printer would not like of its
 * plates. `tryPlate` says what it would cost with one plate made otherwise; `keep` makes it so.
 */
export class SampledPrint {
  /** Pixels printed so far, for whoever counts the work. */
  printed = 0;
  readonly #count: number;
  readonly #plates: SampledPlates;
  readonly #specks: SampledPlates;
  readonly #speckSample: SpeckSample;
  readonly #prints: readonly OnePrint[];
  readonly #inkAtFirst: readonly number[];
  readonly #ink: number[];
  /** Sums of each print's differences. */
  readonly #sums: number[];
  readonly #sumsAtFirst: readonly number[];
  /** Prices of each pixel's tints and of its wet ink. */
  readonly #prices: Float64Array;
  /** Plates, by number, that lie wet together in a setup. */
  readonly #wet: readonly (readonly number[])[];
  readonly #wetInk: number;
  /** Shares of the pixels that are specks of each plate. */
  readonly #speckShares: number[];
  #trial: Trial | undefined;
  #cost: number;

  /** `extent` is the picture's that the samples are of. */
  constructor(
    job: TuneJob,
    sample: Sample,
    specks: SpeckSample,
    extent: Extent,
    pixelsPerMm: number,
    values: ArrayLike<number>,
  ) {
    this.#count = sample.count;
    this.#plates = new SampledPlates(job, sample, extent, pixelsPerMm, values);
    this.#specks = new SampledPlates(job, specks.sample, extent, pixelsPerMm, values);
    this.#speckSample = specks;
    const { final } = this.#plates;
    this.#ink = final.map(sumOf);
    this.#inkAtFirst = [...this.#ink];
    const names = job.plan.plates.map(({ name }) => name);
    this.#wet = wetTogether(job, names);
    this.#wetInk = 255 * job.wetInk;
    this.#prices = Float64Array.from({ length: sample.count }, (_, i) => this.#priceAt(i, final));
    this.#speckShares = this.#specks.final.map((tones, p) => this.#specksIn(p, tones));
    const total = job.prints.reduce((sum, { weight }) => sum + weight, 0);
    this.#prints = job.prints.map((print) => onePrint(print, names, sample, print.weight / total));
    for (const print of this.#prints)
      for (let i = 0; i < sample.count; i++) print.differences[i] = differenceAt(print, i, final);
    this.#sums = this.#prints.map(({ differences }) => sumOf(differences));
    this.#sumsAtFirst = [...this.#sums];
    let sum = sumOf(this.#prices);
    for (const { differences, weight } of this.#prints)
      for (let i = 0; i < differences.length; i++) sum += weight * counted(differences[i]!);
    this.#cost = sum / sample.count + SPECK * sumOf(this.#speckShares);
  }

  /** What the print costs as it stands: mean ΔE00 with what is far off counted more, and prices. */
  get cost(): number {
    return this.#cost;
  }

  /** Mean ΔE00 of each print. */
  get means(): readonly number[] {
    return this.#sums.map((sum) => sum / this.#count);
  }

  /** Mean ΔE00 of all prints by their weights. */
  get mean(): number {
    const { means } = this;
    return this.#prints.reduce((sum, { weight }, g) => sum + weight * means[g]!, 0);
  }

  /** The cost with plate `p` made otherwise; where that is `most` or more, some of it may be left out. */
  tryPlate(p: number, making: PlateMaking, most = Number.POSITIVE_INFINITY): number {
    const count = this.#count;
    const plates = this.#plates.changed(p, making);
    const was = this.#plates.final;
    const final = [...was];
    for (const [q, tones] of plates.final) final[q] = tones;
    const touched = [...plates.final.keys()];
    const changed: number[] = [];
    for (let i = 0; i < count; i++) {
      for (const q of touched) {
        if (final[q]![i] === was[q]![i]) continue;
        changed.push(i);
        break;
      }
    }
    let sum = 0;
    const sums = [...this.#sums];
    const differences = this.#prints.map((print, g) => {
      const now = new Float64Array(changed.length);
      for (let k = 0; k < changed.length; k++) {
        const i = changed[k]!;
        now[k] = differenceAt(print, i, final);
        sums[g]! += now[k]! - print.differences[i]!;
        sum += print.weight * (counted(now[k]!) - counted(print.differences[i]!));
      }
      sum += this.#worse(g, sums[g]!) - this.#worse(g, this.#sums[g]!);
      return now;
    });
    this.printed += changed.length * this.#prints.length + count / 8;
    const prices = new Float64Array(changed.length);
    for (let k = 0; k < changed.length; k++) {
      prices[k] = this.#priceAt(changed[k]!, final);
      sum += prices[k]! - this.#prices[changed[k]!]!;
    }
    const ink = [...this.#ink];
    let cost = this.#cost + sum / count;
    for (const q of touched) {
      ink[q] = sumOf(final[q]!);
      cost += this.#emptiness(q, ink[q]!) - this.#emptiness(q, this.#ink[q]!);
    }
    const speckShares = [...this.#speckShares];
    // They are dear to look for, and most trials end before.
    if (cost < most + SPECK * sumOf(touched.map((q) => speckShares[q]!))) {
      const specks = this.#specks.changed(p, making);
      this.printed += this.#speckSample.sample.count / 8;
      for (const [q, tones] of specks.final) {
        speckShares[q] = this.#specksIn(q, tones);
        cost += SPECK * (speckShares[q]! - this.#speckShares[q]!);
      }
      this.#trial = { plates, specks, changed, differences, sums, prices, ink, speckShares, cost };
    } else this.#trial = undefined;
    return cost;
  }

  /** Makes the plate as it was last tried. */
  keep(): void {
    const trial = this.#trial;
    if (!trial) throw new Error("nothing was tried that can be kept");
    this.#plates.keep(trial.plates);
    this.#specks.keep(trial.specks);
    for (let k = 0; k < trial.changed.length; k++) {
      const i = trial.changed[k]!;
      this.#prices[i] = trial.prices[k]!;
      for (const [g, { differences }] of this.#prints.entries()) differences[i] = trial.differences[g]![k]!;
    }
    for (const [g, sum] of trial.sums.entries()) this.#sums[g] = sum;
    for (const [p, ink] of trial.ink.entries()) this.#ink[p] = ink;
    for (const [p, share] of trial.speckShares.entries()) this.#speckShares[p] = share;
    this.#cost = trial.cost;
    this.#trial = undefined;
  }

  #priceAt(i: number, final: readonly Tones[]): number {
    let sum = 0;
    for (let p = 0; p < final.length; p++) {
      const tone = final[p]![i]! / 255;
      if (tone > 0 && tone < TINT.under && this.#plates.screenOf[p] === p) sum += TINT.cost;
    }
    for (const plates of this.#wet) {
      let ink = 0;
      for (let k = 0; k < plates.length; k++) ink += final[plates[k]!]![i]!;
      if (ink > this.#wetInk) sum += (WET * (ink - this.#wetInk)) / 255;
    }
    return sum;
  }

  /** Places at which the plate prints, and at most at one of the four around. */
  #specksIn(p: number, tones: Tones): number {
    if (this.#specks.screenOf[p] !== p) return 0;
    let specks = 0;
    for (let at = 0; at < tones.length; at += 1 + AROUND) {
      if (tones[at] === 0) continue;
      let beside = 0;
      for (let k = 1; k <= AROUND; k++) if (tones[at + k]! > 0) beside++;
      if (beside <= 1) specks += this.#speckSample.shares[at / (1 + AROUND)]!;
    }
    return specks;
  }

  #emptiness(p: number, ink: number): number {
    const least = KEPT.share * this.#inkAtFirst[p]!;
    return least > 0 ? KEPT.cost * Math.max(0, 1 - ink / least) : 0;
  }

  #worse(g: number, sum: number): number {
    return WORSE * Math.max(0, sum - this.#sumsAtFirst[g]!);
  }
}

/** What prints wet-on-wet in each setup; garments of one setup have the same. */
function wetTogether({ prints }: TuneJob, names: readonly string[]): number[][] {
  const groups = prints.flatMap(({ stations }) =>
    [...new Set(stations.map(({ wetGroup }) => wetGroup))].map((group) =>
      stations.flatMap(({ plate, wetGroup }) => (wetGroup === group ? [names.indexOf(plate)] : [])),
    ),
  );
  return [...new Map(groups.map((plates) => [plates.join(), plates])).values()];
}

/** A plate made otherwise, until it is kept. */
interface Trial {
  readonly plates: ChangedPlates;
  readonly specks: ChangedPlates;
  readonly changed: readonly number[];
  readonly differences: readonly Float64Array[];
  readonly sums: readonly number[];
  readonly prices: Float64Array;
  readonly ink: readonly number[];
  readonly speckShares: readonly number[];
  readonly cost: number;
}

interface OnePrint {
  readonly weight: number;
  readonly model: PrintModel;
  readonly mixer: NestedMixer;
  /** Its stations' plates, by number. */
  readonly plates: readonly number[];
  readonly areas: Float64Array;
  readonly artwork: Float64Array;
  readonly difference: Difference;
  readonly target: { L: number; a: number; b: number };
  readonly differences: Float64Array;
}

function onePrint(
  { conditions, stations }: TuneJob["prints"][number],
  names: readonly string[],
  sample: Sample,
  weight: number,
): OnePrint {
  const model = preparePrint(conditions, stations);
  if (!model.table) throw new Error(`${stations.length} printing stations are too many to tune`);
  const target = { L: 0, a: 0, b: 0 };
  const difference = new Difference(conditions.n);
  difference.set(target);
  return {
    weight,
    model,
    mixer: new NestedMixer(model.table, stations.length, model.lattices),
    plates: stations.map(({ plate }) => names.indexOf(plate)),
    areas: new Float64Array(stations.length),
    artwork: sample.on(conditions.garment),
    difference,
    target,
    differences: new Float64Array(sample.count),
  };
}

function differenceAt(
  { model, mixer, plates, areas, artwork, difference, target }: OnePrint,
  i: number,
  final: readonly Tones[],
): number {
  for (let s = 0; s < plates.length; s++) areas[s] = model.areas[s]![final[plates[s]!]![i]!]!;
  mixer.mix(areas);
  target.L = artwork[3 * i]!;
  target.a = artwork[3 * i + 1]!;
  target.b = artwork[3 * i + 2]!;
  return Math.sqrt(difference.at(mixer.mixed));
}

function counted(difference: number): number {
  return difference + FAR * difference * difference;
}

function sumOf(values: ArrayLike<number>): number {
  let sum = 0;
  for (let i = 0; i < values.length; i++) sum += values[i]!;
  return sum;
}
