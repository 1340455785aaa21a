import { type PrintModel, preparePrint } from "../print/model.ts";
import { NestedMixer } from "../print/nesting.ts";
import { Difference } from "../solve/objective.ts";
import type { TunedPrint } from "./job.ts";
import type { Sample } from "./sample.ts";

/** Steps of tone by which the best is looked for. */
const STEPS = [0.5, 0.25, 0.12, 0.06, 0.03];
const PASSES = 3;

/** The tones of some plates at which a cost is least, from the best of some beginnings, plate by plate. */
export function bestTones(
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
export class ColourPrint {
  readonly #model: PrintModel;
  readonly #mixer: NestedMixer;
  readonly #plates: readonly number[];
  readonly #areas: Float64Array;
  readonly #artwork: Float64Array;
  readonly #difference: Difference;
  readonly #target = { L: 0, a: 0, b: 0 };

  /** `plates` are its stations' places among the tones that are asked for. */
  constructor({ conditions, stations }: TunedPrint, plates: readonly number[], sample: Sample) {
    this.#model = preparePrint(conditions, stations);
    if (!this.#model.table) throw new Error(`${stations.length} printing stations are too many to tune`);
    this.#mixer = new NestedMixer(this.#model.table, stations.length, this.#model.lattices);
    this.#plates = plates;
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
