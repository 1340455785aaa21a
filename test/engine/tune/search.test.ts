import { describe, expect, it } from "vitest";
import type { Dial, PlateMaking, TuneJob } from "../../../server/engine/tune/job.ts";
import type { SampledPrint } from "../../../server/engine/tune/sampled-print.ts";
import { type Move, TuneSearch } from "../../../server/engine/tune/search.ts";

/** A print whose cost is a function of the numbers, in its place. */
class Priced {
  printed = 0;
  values: readonly number[];
  readonly #plates: readonly number[];
  readonly #costOf: (values: readonly number[]) => number;
  #tried: readonly number[] | undefined;

  constructor(dials: readonly Dial[], costOf: (values: readonly number[]) => number) {
    this.values = dials.map(({ value }) => value);
    this.#plates = dials.map(({ plate }) => plate);
    this.#costOf = costOf;
  }

  get cost(): number {
    return this.#costOf(this.values);
  }

  get mean(): number {
    return this.cost;
  }

  get means(): readonly number[] {
    return [this.cost];
  }

  tryPlate(plate: number, making: PlateMaking, most = Number.POSITIVE_INFINITY): number {
    this.printed += 10;
    const values = making as unknown as readonly number[];
    const next = this.values.map((value, d) => (this.#plates[d] === plate ? values[d]! : value));
    const cost = this.#costOf(next);
    this.#tried = cost < most ? next : undefined;
    return cost;
  }

  keep(): void {
    this.values = this.#tried!;
  }
}

const dial = (plate: number, rest: Partial<Dial> = {}): Dial => ({
  plate,
  value: 0,
  part: `part of ${plate}`,
  low: -100,
  high: 100,
  step: 4,
  ...rest,
});

function searched(
  dials: readonly Dial[],
  costOf: (values: readonly number[]) => number,
  { numbers = 40, work = 100_000, again = false } = {},
) {
  const job = {
    dials,
    plateAt: (_: number, values: ArrayLike<number>) => Array.from(values),
  } as unknown as TuneJob;
  const print = new Priced(dials, costOf);
  const search = new TuneSearch(job, print as unknown as SampledPrint, work);
  const run = search.run(numbers, again);
  let step = run.next();
  while (!step.done) step = run.next();
  // The print stands where the search does.
  expect(print.values).toEqual(search.values);
  return { values: search.values, moves: step.value as Move[], printed: print.printed };
}

const near = (v: number, to: number) => ((v - to) / 10) ** 2;

describe("the search for numbers", () => {
  it("leads each to its best, in steps that grow and halve", () => {
    const costOf = ([x, y]: readonly number[]) => 3 + near(x!, 37) + near(y!, -11);
    expect(searched([dial(0), dial(1)], costOf).values).toEqual([37, -11]);
    expect(searched([dial(0, { high: 30 }), dial(1, { low: -5 })], costOf).values).toEqual([30, -5]);
  });

  it("kicks numbers of any plate out of hollows that no step leaves", () => {
    // At 0 a hollow, at ±10 a deeper one; between them a ridge wider than twice a step of 4.
    const hollow = (v: number, to: number) =>
      Math.min(near(v, 0) + 1, near(v, to)) + (Math.abs(v) > 1 && Math.abs(v - to) > 1.5 ? 5 : 0);
    for (const [p, q, r] of [
      [10, -10, 10],
      [-10, 10, -10],
    ] as const) {
      const costOf = ([x, y, z]: readonly number[]) => hollow(x!, p) + hollow(y!, q) + hollow(z!, r);
      expect(searched([dial(0), dial(1), dial(1, { part: "other" })], costOf).values).toEqual([p, q, r]);
    }
  });

  it("does not look elsewhere where it goes on from what a search came to", () => {
    const costOf = ([x]: readonly number[]) =>
      Math.min(near(x!, 0) + 1, near(x!, 10)) + (Math.abs(x!) > 1 && Math.abs(x! - 10) > 1.5 ? 5 : 0);
    expect(searched([dial(0)], costOf, { again: true }).values[0]).toBeLessThan(2);
    expect(searched([dial(0)], costOf).values).toEqual([10]);
  });

  it("changes no number for less than it costs to read it", () => {
    const gaining = (gain: number) => searched([dial(0)], ([x]) => 5 - (x === 4 ? gain : 0)).values;
    expect(gaining(0.0018)).toEqual([0]);
    expect(gaining(0.0025)).toEqual([4]);
  });

  it("keeps a few parts where these bring nearly all", () => {
    const dials = [0, 1, 2, 3, 4, 5].map((plate) => dial(plate, { part: `p${plate}` }));
    // Two bring 9 and 4, four 0.1 each: 97 % are the two's.
    const costOf = (values: readonly number[]) =>
      values.reduce((sum, v, d) => sum + [0.1, 4, 0.1, 9, 0.1, 0.1][d]! * near(v, 10), 0);
    const { values, moves } = searched(dials, costOf);
    expect(values).toEqual([0, 10, 0, 10, 0, 0]);
    expect(moves.map(({ part, dials, gain }) => [part, dials, gain])).toEqual([
      ["p3", [3], expect.closeTo(9, 6)],
      ["p1", [1], expect.closeTo(4, 6)],
    ]);
  });

  it("keeps as many as bring it where few do not, and lets go what hardly counts", () => {
    const dials = [0, 1, 2, 3, 4, 5, 6, 7].map((plate) => dial(plate, { part: `p${plate}` }));
    // Seven bring 1 each, one a hundredth of that.
    const costOf = (values: readonly number[]) =>
      values.reduce((sum, v, d) => sum + (d === 2 ? 0.01 : 1) * near(v, 10), 0);
    expect(searched(dials, costOf).values).toEqual([10, 10, 0, 10, 10, 10, 10, 10]);
  });

  it("keeps of many those that are missed most, where no more may change", () => {
    const dials = [0, 1, 2, 3, 4, 5].map((plate) => dial(plate, { part: `p${plate}` }));
    const costOf = (values: readonly number[]) =>
      values.reduce((sum, v, d) => sum + (d + 1) * near(v, 10), 0);
    for (const numbers of [1, 3, 5])
      expect(searched(dials, costOf, { numbers }).values).toEqual(
        [0, 1, 2, 3, 4, 5].map((d) => (d < 6 - numbers ? 0 : 10)),
      );
  });

  it("has what is left of a plate make up for a number that it takes back", () => {
    // Five plates of two numbers each that count together: either may stand for both.
    const dials = [0, 1, 2, 3, 4].flatMap((plate) => [
      dial(plate, { part: `a${plate}` }),
      dial(plate, { part: `b${plate}` }),
    ]);
    const costOf = (values: readonly number[]) =>
      [0, 1, 2, 3, 4].reduce((sum, p) => sum + near(values[2 * p]! + values[2 * p + 1]!, 12), 0);
    const { values } = searched(dials, costOf, { numbers: 5 });
    expect(values.filter((v) => v !== 0)).toHaveLength(5);
    for (const p of [0, 1, 2, 3, 4])
      expect(Math.abs(values[2 * p]! + values[2 * p + 1]! - 12)).toBeLessThanOrEqual(1);
  });

  it("takes back no number where the others would make no recipe", () => {
    // The upper end was moved over where the lower one now is.
    const dials = [
      dial(0, { value: 10, under: 1, part: "low" }),
      dial(0, { value: 20, over: 0, part: "high" }),
    ];
    const costOf = ([low, high]: readonly number[]) => near(low!, 40) + near(high!, 60);
    const { values } = searched(dials, costOf, { numbers: 1 });
    expect(values[0]).toBeLessThanOrEqual(values[1]!);
  });

  it("ends with its work, or where kicks bring nothing any more", () => {
    const costOf = ([x, y]: readonly number[]) => near(x!, 37) + near(y!, -11);
    const dials = [dial(0), dial(1)];
    const whole = searched(dials, costOf, { work: 1e9 }).printed;
    expect(whole).toBeLessThan(100_000);
    expect(searched(dials, costOf, { work: 3000 }).printed).toBeLessThan(0.6 * whole);
  });
});
