import { randomNumbers } from "../random-numbers.ts";
import type { TuneJob } from "./job.ts";
import type { SampledPrint } from "./sampled-print.ts";
import { isSound, moved, type Way, waysOf } from "./ways.ts";

/** Where the numbers of a part go. */
export interface Move {
  readonly part: string;
  /** Their places in the job's dials. */
  readonly dials: readonly number[];
  /** Mean ΔE00 over all prints, by their weights, that would be lost if they stayed as they were. */
  readonly gain: number;
}

/** Values with one part moved, and what they cost. */
interface Led {
  readonly part: string;
  readonly price: number;
  readonly values: readonly number[];
}

/** What changing a number costs, in ΔE00: one that brings less is left alone. */
const CHANGE = 0.002;
/** A gain under this is rounding. */
const LEAST = 1e-4;
/** What is let go at most for the sake of fewer changes, as a share of the gain. */
const LET_GO = 0.03;
/** The same where a few parts alone bring nearly all: that is easier to read than it is worse. */
const LET_GO_FOR_FEW = 0.06;
/** Parts that are tried by themselves before all are taken together. */
const FEW_PARTS = 4;
/** Parts led on to their best, of all that are tried a few steps. */
const LIKELY = 6;
/** A part chosen later may bring this much more than the one chosen last: if even so too little comes together, few are not enough. */
const LATER = 1.5;
/** Shares of the work until descents end and kicks end; then numbers are taken back. */
const KICKS_UNTIL = 0.75;
/** Kicks in a row that brought nothing, after which no more are tried. */
const IDLE_KICKS = 120;

/** Moves the numbers of a job, and says what that costs. */
export class TuneSearch {
  readonly #job: TuneJob;
  readonly #start: readonly number[];
  #values: readonly number[];
  readonly #print: SampledPrint;
  readonly #work: number;
  readonly #ways: readonly Way[];
  /** What the print cost at first. */
  readonly #first: number;
  readonly #random = randomNumbers(1);

  constructor(job: TuneJob, print: SampledPrint, work: number) {
    this.#job = job;
    this.#start = job.dials.map(({ value }) => value);
    this.#values = [...this.#start];
    this.#print = print;
    this.#first = this.#print.cost;
    this.#work = work;
    this.#ways = waysOf(job.dials);
  }

  get values(): readonly number[] {
    return this.#values;
  }

  get means(): readonly number[] {
    return [...this.#print.means];
  }

  goTo(values: readonly number[]): void {
    this.#put(values);
  }

  /** The values once the numbers of one plate were led on by a few steps; the search stays where it is. */
  led(plate: number, passes: number): readonly number[] {
    const from = this.#values;
    const ways = this.#ways.filter((way) => way.plate === plate);
    for (const _ of this.#descend(ways, Number.POSITIVE_INFINITY, passes));
    const led = this.#values;
    this.#put(from);
    return led;
  }

  /** `again`: from values that a search came to, there is nothing to be looked for elsewhere. */
  *run(numbers: number, again: boolean): Generator<number, Move[]> {
    const first = this.#first;
    yield* this.#descend(this.#ways, KICKS_UNTIL);
    if (!again) yield* this.#kick();
    const [best, gain] = [this.#print.cost, Math.max(0, first - this.#print.cost)];
    if (again || !(yield* this.#fewParts(numbers, best + LET_GO_FOR_FEW * gain)))
      yield* this.#prune(numbers, best + LET_GO * gain);
    yield 1;
    return this.#moves();
  }

  /** What is paid: the print, and a little for each number that is not what it was. */
  #paid(cost: number, values: readonly number[]): number {
    return cost + CHANGE * this.#changed(values).length;
  }

  #changed(values: readonly number[]): number[] {
    return values.flatMap((value, d) => (value === this.#start[d] ? [] : [d]));
  }

  get #done(): number {
    return Math.min(1, this.#print.printed / this.#work);
  }

  /** Takes the values where they cost less; all moved dials are of one plate. */
  #take(plate: number, values: readonly number[], least: number): boolean {
    const most = least - LEAST - this.#paid(0, values);
    if (!(this.#print.tryPlate(plate, this.#job.plateAt(plate, values), most) < most)) return false;
    this.#print.keep();
    this.#values = [...values];
    return true;
  }

  /** Puts values back, or others in their place, whatever they cost. */
  #put(values: readonly number[]): void {
    const plates = new Set(
      values.flatMap((value, d) => (value === this.#values[d] ? [] : [this.#job.dials[d]!.plate])),
    );
    this.#values = [...values];
    for (const plate of plates) {
      this.#print.tryPlate(plate, this.#job.plateAt(plate, this.#values));
      this.#print.keep();
    }
  }

  get #price(): number {
    return this.#paid(this.#print.cost, this.#values);
  }

  /** Each way up and down by its step, which grows where it brings something and halves where it does not. */
  *#descend(ways: readonly Way[], until: number, rounds = Number.POSITIVE_INFINITY): Generator<number, void> {
    const steps = ways.map(({ step }) => step);
    const signs = ways.map(() => 1);
    for (let round = 0; round < rounds; round++) {
      let open = false;
      for (const [w, { plate, parts }] of ways.entries()) {
        const step = steps[w]!;
        if (step === 0) continue;
        const price = this.#price;
        const taken = [signs[w]!, -signs[w]!].find((sign) => {
          const values = moved(
            this.#job.dials,
            this.#values,
            parts.map(({ dial, way }) => [dial, sign * way * step]),
          );
          if (!values || !this.#take(plate, values, price)) return false;
          signs[w] = sign;
          return true;
        });
        if (taken !== undefined) {
          open = true;
          steps[w] = Math.min(2 * ways[w]!.step, Math.ceil(step * 1.5));
        } else if (step > 1) {
          open = true;
          steps[w] = Math.floor(step / 2);
        }
        if (this.#done >= until) return;
      }
      yield this.#done;
      if (!open) return;
    }
  }

  /** Some numbers of a plate or two are moved at random, and the steps led from there; what comes out worse is put back. */
  *#kick(): Generator<number, void> {
    const plates = [...new Set(this.#job.dials.map(({ plate }) => plate))];
    for (let idle = 0; idle < IDLE_KICKS && this.#done < KICKS_UNTIL; ) {
      const [price, values] = [this.#price, this.#values];
      const kicked = new Set([this.#pick(plates), ...(this.#random() < 0.3 ? [this.#pick(plates)] : [])]);
      for (const plate of kicked) {
        const own = this.#job.dials.flatMap((dial, d) => (dial.plate === plate ? [d] : []));
        const count = 1 + Math.floor(this.#random() * Math.min(3, own.length));
        const steps = Array.from({ length: count }, () => {
          const d = this.#pick(own);
          const by = Math.round((this.#random() * 2 - 1) * 3 * this.#job.dials[d]!.step);
          return [d, by] as const;
        });
        const next = moved(this.#job.dials, this.#values, steps);
        if (next) this.#put(next);
      }
      yield* this.#descend(
        this.#ways.filter(({ plate }) => kicked.has(plate)),
        KICKS_UNTIL,
        6,
      );
      if (this.#price < price - LEAST) idle = 0;
      else {
        this.#put(values);
        idle++;
      }
      yield this.#done;
    }
    yield* this.#descend(this.#ways, KICKS_UNTIL);
  }

  /**
   * From the start again, the part that brings most by itself, and the next, while these are few: what one slip of the hand
   * spoilt is mended there. False where that is not enough, with the values as they were.
   */
  *#fewParts(numbers: number, most: number): Generator<number, boolean> {
    const found = this.#values;
    if (this.#changed(found).length === 0) return true;
    this.#put(this.#start);
    const parts = new Set(this.#job.dials.map(({ part }) => part));
    const ways = new Map(
      [...parts].map((part) => [
        part,
        this.#ways.filter((way) => way.parts.every(({ dial }) => this.#job.dials[dial]!.part === part)),
      ]),
    );
    const chosen: Way[] = [];
    for (let few = 0; few < FEW_PARTS; few++) {
      const [from, was] = [this.#values, this.#print.cost];
      const all = [...parts].map((part): Led => ({ part, price: this.#price, values: from }));
      const likely = (yield* this.#alone(all, ways, 2)).slice(0, LIKELY);
      const [best] = yield* this.#alone(likely, ways, 8);
      if (!best) break;
      parts.delete(best.part);
      this.#put(best.values);
      chosen.push(...ways.get(best.part)!);
      yield* this.#descend(chosen, Number.POSITIVE_INFINITY, 8);
      const cost = this.#print.cost;
      if (cost <= most && this.#changed(this.#values).length <= numbers) return true;
      if (cost - LATER * (was - cost) * (FEW_PARTS - few - 1) > most) break;
    }
    this.#put(found);
    return false;
  }

  /** Each part by itself, led on from its values; those that cost least come first. The print stays as it was. */
  *#alone(
    starts: readonly Led[],
    ways: ReadonlyMap<string, readonly Way[]>,
    passes: number,
  ): Generator<number, Led[]> {
    const from = this.#values;
    const led: Led[] = [];
    for (const { part, values } of starts) {
      this.#put(values);
      yield* this.#descend(ways.get(part)!, Number.POSITIVE_INFINITY, passes);
      led.push({ part, price: this.#price, values: this.#values });
      this.#put(from);
    }
    return led.sort((p, q) => p.price - q.price);
  }

  /**
   * Takes back the number that is missed least, again and again, while too many are changed or all that is let go is
   * little; what is left is led on from there.
   */
  *#prune(numbers: number, most: number): Generator<number, void> {
    for (;;) {
      const changed = this.#changed(this.#values);
      if (changed.length === 0) return;
      const tried = changed.map((d) => ({ d, cost: this.#without(d) })).sort((a, b) => a.cost - b.cost);
      const { d, cost } = tried[0]!;
      if (changed.length <= numbers && cost > most) return;
      if (!Number.isFinite(cost)) return;
      this.#put(this.#values.with(d, this.#start[d]!));
      const left = new Set(this.#changed(this.#values));
      const kept = this.#ways.filter(({ parts }) => parts.every(({ dial }) => left.has(dial)));
      // The rest makes up for it: only those of the same plate, in small steps.
      const { plate } = this.#job.dials[d]!;
      yield* this.#descend(
        kept.filter((way) => way.plate === plate).map((way) => ({ ...way, step: Math.min(2, way.step) })),
        Number.POSITIVE_INFINITY,
        2,
      );
      yield Math.min(0.99, this.#done);
    }
  }

  /** What the print costs where a number is as it was; infinite where that makes no sound recipe. */
  #without(d: number): number {
    const values = this.#values.with(d, this.#start[d]!);
    if (!isSound(this.#job.dials, d, values, this.#values)) return Number.POSITIVE_INFINITY;
    const { plate } = this.#job.dials[d]!;
    return this.#print.tryPlate(plate, this.#job.plateAt(plate, values));
  }

  #moves(): Move[] {
    const [mean, values] = [this.#print.mean, this.#values];
    const parts = new Map<string, number[]>();
    for (const d of this.#changed(values)) {
      const { part } = this.#job.dials[d]!;
      parts.set(part, [...(parts.get(part) ?? []), d]);
    }
    return [...parts]
      .map(([part, dials]) => {
        this.#put(values.map((value, d) => (dials.includes(d) ? this.#start[d]! : value)));
        const gain = this.#print.mean - mean;
        this.#put(values);
        return { part, dials, gain };
      })
      .sort((a, b) => b.gain - a.gain);
  }

  #pick<T>(of: readonly T[]): T {
    return of[Math.floor(this.#random() * of.length)]!;
  }
}
