import { deepened } from "../knockout.ts";
import { type PrintModel, preparePrint } from "../print/model.ts";
import { NestedMixer } from "../print/nesting.ts";
import type { SolvePlan, SolvePrint, SolveStation } from "./plan.ts";

/** By so much an area is changed to see the slope where dots nest: about a step of a plate's tones. */
const STEP = 1 / 256;

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
  readonly #stations: readonly SolveStation[];
  /** Own tone of every plate: fixed ones as set, solved ones as asked for. */
  readonly #own: Float64Array;
  /** Stations that are mixed for each colour: those that a solved plate changes, and those whose dots nest with theirs. */
  readonly #mixing: readonly SolveStation[];
  readonly #mixingAreas: readonly Float32Array[];
  readonly #moves: readonly boolean[];
  readonly #grows: readonly boolean[];
  /** Whether its dots nest with another's. */
  readonly #nests: readonly boolean[];
  /** The others. */
  readonly #fixed: readonly { readonly station: SolveStation; readonly bit: number }[];
  /** `#reaches[s][j]`: 0 where solved plate j does not change station s, 1 where its tone is the station's, else 2. */
  readonly #reaches: readonly Uint8Array[];
  readonly #areas: Float64Array;
  readonly #reduced: Float32Array;
  readonly #scratch: Float32Array;
  readonly #mixer: NestedMixer;
  #handSet = false;

  /** Of one of the plan's prints, the first if none is named. */
  constructor(plan: SolvePlan, { conditions, stations }: SolvePrint = plan) {
    this.#plan = plan;
    this.#stations = stations;
    this.solved = plan.solved.length;
    this.print = preparePrint(conditions, stations);
    const table = this.print.table;
    if (!table) throw new Error(`${stations.length} printing stations are too many to solve for`);
    this.#own = new Float64Array(plan.plates);
    const moves = stations.map((station) => reached(station, plan).some((p) => plan.solved.includes(p)));
    const { lattices } = this.print;
    const mixing = stations.flatMap((_, s) =>
      moves[s] ||
      lattices.some(({ stations }) => stations.includes(s) && stations.some((other) => moves[other]))
        ? [s]
        : [],
    );
    this.#mixing = mixing.map((s) => stations[s]!);
    this.#mixingAreas = mixing.map((s) => this.print.areas[s]!);
    this.#moves = mixing.map((s) => moves[s]!);
    this.#grows = this.#mixing.map(({ gain }) => gain !== undefined);
    this.#fixed = stations.flatMap((station, bit) => (mixing.includes(bit) ? [] : [{ station, bit }]));
    this.#reaches = this.#mixing.map((station) => {
      const plates = reached(station, plan);
      const alone = plates.length === 1;
      return Uint8Array.from(plan.solved, (p) => (!plates.includes(p) ? 0 : alone ? 1 : 2));
    });
    const nesting = lattices.flatMap((lattice) => {
      const own = lattice.stations.map((s) => mixing.indexOf(s)).filter((at) => at >= 0);
      return own.length > 1 ? [{ ...lattice, stations: own }] : [];
    });
    this.#nests = mixing.map((_, at) => nesting.some(({ stations }) => stations.includes(at)));
    this.#areas = new Float64Array(this.#mixing.length);
    this.slope = new Float64Array(3 * this.solved);
    this.#reduced = new Float32Array(3 << this.#mixing.length);
    this.#scratch = table.slice();
    this.#mixer = new NestedMixer(this.#reduced, this.#mixing.length, nesting);
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
    if (same) return;
    this.#placeStill();
    if (this.#fixed.length > 0) this.#reduce();
  }

  /** Mixing bands with these tones of the solved plates, to `bands`. */
  at(tones: Float64Array): void {
    this.#place(tones);
    this.#mixer.mix(this.#areas);
    this.bands.set(this.#mixer.mixed);
  }

  /** The same, and its slopes to `slope`. */
  slopes(tones: Float64Array): void {
    this.at(tones);
    this.slope.fill(0);
    const mixed = this.#mixer.mixed;
    const bands = this.bands;
    const areas = this.#areas;
    for (let s = 0; s < this.#mixing.length; s++) {
      if (!this.#moves[s]) continue;
      // Mixing is linear in each area, so that the way to one end gives the slope to both, but for dots that nest.
      const a = areas[s]!;
      const end = a <= 0.5 ? 1 : 0;
      const whole = this.#nests[s] ? (end === 1 ? STEP : -STEP) : end - a;
      areas[s] = a + whole;
      this.#mixer.mix(areas);
      areas[s] = a;
      const dx = (mixed[0]! - bands[0]!) / whole;
      const dy = (mixed[1]! - bands[1]!) / whole;
      const dz = (mixed[2]! - bands[2]!) / whole;
      const station = this.#mixing[s]!;
      const rise = this.#grows[s] ? areaSlope(this.#mixingAreas[s]!, this.#printed(station)) : 1;
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
    for (const station of this.#stations) out[station.wetGroup]! += this.#printed(station);
  }

  #place(tones: Float64Array): void {
    for (let j = 0; j < this.solved; j++) this.#own[this.#plan.solved[j]!] = tones[j]!;
    for (let s = 0; s < this.#mixing.length; s++) if (this.#moves[s]) this.#areas[s] = this.#areaOf(s);
  }

  #placeStill(): void {
    for (let s = 0; s < this.#mixing.length; s++) if (!this.#moves[s]) this.#areas[s] = this.#areaOf(s);
  }

  #areaOf(s: number): number {
    const tone = this.#printed(this.#mixing[s]!);
    return this.#grows[s] ? areaAt(this.#mixingAreas[s]!, tone) : tone;
  }

  /** Tone of a station after merge and knockout. */
  #printed({ plate, knockedOutBy }: SolveStation): number {
    let tone = this.#merged(plate);
    for (const { plate: by, above } of knockedOutBy) tone *= 1 - deepened(this.#merged(by), above);
    return tone;
  }

  #merged(plate: number): number {
    let clear = 1 - this.#own[plate]!;
    for (const source of this.#plan.sources[plate]!) clear *= 1 - this.#own[source]!;
    return 1 - clear;
  }

  /**
   * The change of a station's tone with one plate's. Merge and knockout are linear in each plate, so two ends give it; a
   * knockout above a tone is not, and its slope is that of a short step.
   */
  #tonesSlope(station: SolveStation, plate: number): number {
    const own = this.#own[plate]!;
    const bends = station.knockedOutBy.some(({ above }) => above > 0);
    const [from, to] = bends ? [Math.max(0, own - STEP), Math.min(1, own + STEP)] : [0, 1];
    this.#own[plate] = to;
    const high = this.#printed(station);
    this.#own[plate] = from;
    const low = this.#printed(station);
    this.#own[plate] = own;
    return (high - low) / (to - from);
  }

  /** Folds the fixed stations into the table, the last first, so that the bits below keep their places. */
  #reduce(): void {
    const table = this.print.table!;
    const v = this.#scratch;
    v.set(table);
    let stations = this.#stations.length;
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
  return [plate, ...knockedOutBy.map((by) => by.plate)].flatMap((p) => [p, ...plan.sources[p]!]);
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
