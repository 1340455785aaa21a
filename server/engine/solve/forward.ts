import { Mixer } from "../print/mixer.ts";
import { type PrintModel, preparePrint } from "../print/model.ts";
import type { SolvePlan, SolveStation } from "./plan.ts";

/**
 * The print model as a function of the solved plates' tones at one colour of the artwork. It sees what is pointwise:
 * merges, and knockouts without their choke; where a plate is drawn in or pushed out, no colour can say.
 *
 * `set` fixes the tones of the fixed plates, which leaves a table over the stations that still depend on what is
 * solved. `at` then gives the three mixing bands, `slopes` also their change with each solved tone.
 */
export class Forward {
  /** Solved plates, in the plan's order. */
  readonly solved: number;
  readonly print: PrintModel;
  readonly bands = new Float64Array(3);
  /** Three numbers a solved plate. */
  readonly slope: Float64Array;
  readonly #plan: SolvePlan;
  /** Own tone of every plate: fixed ones as set, solved ones as asked for. */
  readonly #own: Float64Array;
  /** Stations that a solved plate changes, and the others. */
  readonly #moving: readonly SolveStation[];
  readonly #movingAreas: readonly Float32Array[];
  readonly #grows: readonly boolean[];
  readonly #fixed: readonly { readonly station: SolveStation; readonly bit: number }[];
  /** `#reaches[s][j]`: 0 where solved plate j does not change moving station s, 1 where its tone is the station's, else 2. */
  readonly #reaches: readonly Uint8Array[];
  readonly #areas: Float64Array;
  readonly #reduced: Float32Array;
  readonly #scratch: Float32Array;
  readonly #mixer: Mixer;
  #handSet = false;

  constructor(plan: SolvePlan) {
    this.#plan = plan;
    this.solved = plan.solved.length;
    this.print = preparePrint(plan.conditions, plan.stations);
    const table = this.print.table;
    if (!table) throw new Error(`${plan.stations.length} printing stations are too many to solve for`);
    this.#own = new Float64Array(plan.plates);
    const moves = (station: SolveStation) => reached(station, plan).some((p) => plan.solved.includes(p));
    this.#moving = plan.stations.filter(moves);
    this.#movingAreas = this.#moving.map((s) => this.print.areas[plan.stations.indexOf(s)]!);
    this.#grows = this.#moving.map(({ gain }) => gain !== undefined);
    this.#fixed = plan.stations.flatMap((station, bit) => (moves(station) ? [] : [{ station, bit }]));
    this.#reaches = this.#moving.map((station) => {
      const plates = reached(station, plan);
      const alone = plates.length === 1;
      return Uint8Array.from(plan.solved, (p) => (!plates.includes(p) ? 0 : alone ? 1 : 2));
    });
    this.#areas = new Float64Array(this.#moving.length);
    this.slope = new Float64Array(3 * this.solved);
    this.#reduced = new Float32Array(3 << this.#moving.length);
    this.#scratch = table.slice();
    this.#mixer = new Mixer(this.#reduced, this.#moving.length);
    this.#reduce();
  }

  /** Own tones 0–1 of every plate, by its number; those of solved plates are not looked at. */
  set(fixed: Float64Array): void {
    let same = this.#handSet;
    for (let p = 0; p < fixed.length; p++) {
      if (this.#plan.solved.includes(p) || this.#own[p] === fixed[p]) continue;
      this.#own[p] = fixed[p]!;
      same = false;
    }
    this.#handSet = true;
    if (!same && this.#fixed.length > 0) this.#reduce();
  }

  /** Mixing bands with these tones of the solved plates, to `bands`. */
  at(tones: Float64Array): void {
    this.#place(tones);
    this.#mix(-1, false);
    this.#copy(this.bands, 0);
  }

  /** The same, and its slopes to `slope`. */
  slopes(tones: Float64Array): void {
    this.at(tones);
    this.slope.fill(0);
    const mixed = this.#mixer.mixed;
    const bands = this.bands;
    for (let s = 0; s < this.#moving.length; s++) {
      // Mixing is linear in each area, so the way to one end gives the slope to both.
      const a = this.#areas[s]!;
      const solid = a <= 0.5;
      this.#mix(s, solid);
      const whole = solid ? 1 - a : -a;
      const dx = (mixed[0]! - bands[0]!) / whole;
      const dy = (mixed[1]! - bands[1]!) / whole;
      const dz = (mixed[2]! - bands[2]!) / whole;
      const station = this.#moving[s]!;
      const rise = this.#grows[s] ? areaSlope(this.#movingAreas[s]!, this.#printed(station)) : 1;
      for (let j = 0; j < this.solved; j++) {
        const reach = this.#reaches[s]![j]!;
        if (reach === 0) continue;
        const d = reach === 1 ? rise : rise * this.#tonesSlope(station, this.#plan.solved[j]!);
        this.slope[3 * j]! += d * dx;
        this.slope[3 * j + 1]! += d * dy;
        this.slope[3 * j + 2]! += d * dz;
      }
    }
  }

  /** Printed tones that lie wet together, summed: one number a group of stations between flashes. */
  wetInk(tones: Float64Array, out: Float64Array): void {
    this.#place(tones);
    out.fill(0);
    for (const station of this.#plan.stations) out[station.wetGroup]! += this.#printed(station);
  }

  #place(tones: Float64Array): void {
    for (let j = 0; j < this.solved; j++) this.#own[this.#plan.solved[j]!] = tones[j]!;
    for (let s = 0; s < this.#moving.length; s++) {
      const tone = this.#printed(this.#moving[s]!);
      this.#areas[s] = this.#grows[s] ? areaAt(this.#movingAreas[s]!, tone) : tone;
    }
  }

  /** Mixes all moving stations; station `set`, if any, counts as solid or as clear. */
  #mix(set: number, solid: boolean): void {
    const { share, offset } = this.#mixer;
    let base = 0;
    let halftones = 0;
    for (let s = 0; s < this.#areas.length; s++) {
      const a = s === set ? (solid ? 1 : 0) : this.#areas[s]!;
      if (a >= 1) base += 3 << s;
      else if (a > 0) {
        share[halftones] = a;
        offset[halftones++] = 3 << s;
      }
    }
    this.#mixer.mix(base, halftones);
  }

  #copy(out: Float64Array, at: number): void {
    const mixed = this.#mixer.mixed;
    out[at] = mixed[0]!;
    out[at + 1] = mixed[1]!;
    out[at + 2] = mixed[2]!;
  }

  /** Tone of a station after merge and knockout. */
  #printed({ plate, knockedOutBy }: SolveStation): number {
    let tone = this.#merged(plate);
    for (const p of knockedOutBy) tone *= 1 - this.#merged(p);
    return tone;
  }

  #merged(plate: number): number {
    let clear = 1 - this.#own[plate]!;
    for (const source of this.#plan.sources[plate]!) clear *= 1 - this.#own[source]!;
    return 1 - clear;
  }

  /** The change of a station's tone with one plate's: merge and knockout are linear in each plate, so two ends give it. */
  #tonesSlope(station: SolveStation, plate: number): number {
    const own = this.#own[plate]!;
    this.#own[plate] = 1;
    const high = this.#printed(station);
    this.#own[plate] = 0;
    const low = this.#printed(station);
    this.#own[plate] = own;
    return high - low;
  }

  /** Folds the fixed stations into the table, the last first, so that the bits below keep their places. */
  #reduce(): void {
    const table = this.print.table!;
    const v = this.#scratch;
    v.set(table);
    let stations = this.#plan.stations.length;
    for (let i = this.#fixed.length - 1; i >= 0; i--) {
      const { station, bit } = this.#fixed[i]!;
      const a = areaAt(this.print.areas[bit]!, this.#printed(station));
      const b = 1 - a;
      const low = 1 << bit;
      const high = 1 << (stations - bit - 1);
      let to = 0;
      for (let h = 0; h < high; h++) {
        for (let k = 0; k < 3 * low; k++, to++) {
          const off = 6 * low * h + k;
          v[to] = b * v[off]! + a * v[off + 3 * low]!;
        }
      }
      stations--;
    }
    this.#reduced.set(v.subarray(0, this.#reduced.length));
  }
}

/** Plates that a station's tone depends on. */
function reached({ plate, knockedOutBy }: SolveStation, plan: SolvePlan): number[] {
  return [plate, ...knockedOutBy].flatMap((p) => [p, ...plan.sources[p]!]);
}

/** A tone between two bytes of a table of 256 areas. */
function areaAt(table: Float32Array, tone: number): number {
  const x = tone * 255;
  const i = Math.min(254, Math.max(0, Math.floor(x)));
  return table[i]! + (table[i + 1]! - table[i]!) * (x - i);
}

function areaSlope(table: Float32Array, tone: number): number {
  const i = Math.min(254, Math.max(0, Math.floor(tone * 255)));
  return 255 * (table[i + 1]! - table[i]!);
}
