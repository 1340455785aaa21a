import { bestTones, ColourPrint } from "./colour-print.ts";
import type { TuneJob } from "./job.ts";
import type { Sample } from "./sample.ts";

/** A shared plate as a screen of one setup's own, with tones of its own there. */
export interface Apart {
  readonly plate: string;
  readonly setup: string;
  /** Mean ΔE00 that each garment comes nearer, in the order of the job's prints. */
  readonly gains: readonly number[];
  /** Of all, by their weights. */
  readonly gain: number;
}

/**
 * A plate that could be parted: its prints take the tone behind all plates' for their setup. With both screens at one tone
 * they are the job's.
 */
export class Parted {
  readonly plate: number;
  readonly setup: string;
  readonly #prints: readonly ColourPrint[];
  readonly #weights: readonly number[];

  constructor(job: TuneJob, sample: Sample, plate: number, setup: string, weights: readonly number[]) {
    this.plate = plate;
    this.setup = setup;
    const names = job.plan.plates.map(({ name }) => name);
    this.#weights = weights;
    this.#prints = job.prints.map((print) => {
      const places = print.stations.map((station) => names.indexOf(station.plate));
      const own = print.setup === setup ? places.map((p) => (p === plate ? names.length : p)) : places;
      return new ColourPrint(print, own, sample);
    });
  }

  /**
   * ΔE00 of each print at pixel `i`, from the best tones of the two screens, and of `others`, that lie near `shared`, the
   * tones with one screen for both.
   */
  best(shared: Float64Array, i: number, others: readonly number[]): number[] {
    const start = Float64Array.of(...shared, shared[this.plate]!);
    const joint = (at: Float64Array) =>
      this.#prints.reduce((sum, print, g) => sum + this.#weights[g]! * print.at(at, i), 0);
    const tones = bestTones(joint, [start], [this.plate, shared.length, ...others]);
    return this.#prints.map((print) => print.at(tones, i));
  }
}

/** Every plate that several setups print, with each setup that may have one of its own; of two setups either says the same. */
export function partings(job: TuneJob, sample: Sample, weights: readonly number[]): Parted[] {
  const setups = [...new Set(job.prints.map(({ setup }) => setup))];
  return job.plan.plates.flatMap(({ name }, plate) => {
    const printing = setups.filter((setup) =>
      job.prints.some((print) => print.setup === setup && print.stations.some((one) => one.plate === name)),
    );
    const own = printing.length > 2 ? printing : printing.slice(1);
    return own.map((setup) => new Parted(job, sample, plate, setup, weights));
  });
}
