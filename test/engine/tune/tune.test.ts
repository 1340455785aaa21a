import { describe, expect, it } from "vitest";
import { samplePixels, sampleSpecks } from "../../../server/engine/tune/sample.ts";
import { SampledPrint } from "../../../server/engine/tune/sampled-print.ts";
import { TuneSearch } from "../../../server/engine/tune/search.ts";
import { plateGains, type Tuned, type TuneOptions, tune } from "../../../server/engine/tune/tune.ts";
import { pictureOf } from "../pictures.ts";
import { GREYS, greysJob } from "./greys.ts";

/** White that covers too much, and black that reaches too far up. */
const SPOILT = [50, 50, 10] as const;
const idle = { plate: 1, part: "idle", value: 5, low: 0, high: 9, step: 2 };
const JOB = greysJob(...SPOILT, idle);
const PIXELS = 64;

function tuned(options: Partial<TuneOptions> = {}, job = JOB): { tuned: Tuned; shares: number[] } {
  const run = tune(job, GREYS, 2, { work: 300_000, numbers: 40, pixels: PIXELS, ...options });
  const shares: number[] = [];
  for (;;) {
    const step = run.next();
    if (step.done) return { tuned: step.value, shares };
    shares.push(step.value);
  }
}

const printAt = (values: readonly number[]) =>
  new SampledPrint(JOB, samplePixels(GREYS, PIXELS), sampleSpecks(GREYS, 2, 500), GREYS, 2, values);
const withIdle = ([white, to, fade]: readonly number[]) => [white!, to!, fade!, 5];

const whole = tuned();

describe("tuned numbers", () => {
  const { moves, values, before, after } = whole.tuned;

  it("come as near as the best of a grid, but for what fewer changes are worth", () => {
    const first = printAt(withIdle(SPOILT)).cost;
    let best = first;
    for (let white = 0; white <= 100; white += 20)
      for (let to = 0; to <= 100; to += 20)
        for (let fade = 0; fade <= 80; fade += 20)
          best = Math.min(best, printAt(withIdle([white, to, fade])).cost);
    expect(first).toBeGreaterThan(10);
    // Seen: 2.2 for 1.0; a twentieth of what is gained may be let go for few parts.
    expect(printAt(values).cost).toBeLessThan(best + 0.08 * (first - best));
  });

  it("are told with how far off the print was, and is", () => {
    expect(before).toEqual([expect.closeTo(printAt(withIdle(SPOILT)).mean, 9)]);
    expect(after).toEqual([expect.closeTo(printAt(values).mean, 9)]);
  });

  it("are told as parts, each with what would be lost without it, the most first", () => {
    const changed = values.flatMap((value, d) => (value === JOB.dials[d]!.value ? [] : [d]));
    expect(moves.flatMap(({ dials }) => dials).sort()).toEqual(changed);
    for (const { part, dials, gain } of moves) {
      expect(dials.map((d) => JOB.dials[d]!.part)).toEqual(dials.map(() => part));
      const without = values.map((value, d) => (dials.includes(d) ? JOB.dials[d]!.value : value));
      expect(gain).toBeCloseTo(printAt(without).mean - after[0]!, 9);
    }
    const gains = moves.map(({ gain }) => gain);
    expect(gains).toEqual(gains.toSorted((p, q) => q - p));
    expect(gains.length).toBeGreaterThan(1);
  });

  it("leave alone what changes nothing", () => {
    expect(values[3]).toBe(5);
  });

  it("are the same for the same", () => {
    expect(tuned().tuned).toEqual(whole.tuned);
  });

  it("tell the share of the work that is done", () => {
    const { shares } = whole;
    expect(shares).toEqual(shares.toSorted((p, q) => p - q));
    expect(shares[0]).toBeGreaterThan(0);
    expect(shares[0]).toBeLessThan(0.01);
    expect(shares.at(-1)).toBe(1);
    // Where the work ends before the kicks do, three quarters of it are theirs and the steps'.
    const short = tuned({ work: 30_000 }).shares;
    expect(short.some((share) => share >= 0.75 && share < 0.8)).toBe(true);
    expect(short.length).toBeLessThan(shares.length);
  });

  it.each([1, 2])("are at most %d where no more may change", (numbers) => {
    const { values, before, after } = tuned({ numbers }).tuned;
    const changed = values.filter((value, d) => value !== JOB.dials[d]!.value);
    expect(changed.length).toBeGreaterThan(0);
    expect(changed.length).toBeLessThanOrEqual(numbers);
    expect(after[0]).toBeLessThan(before[0]! - 1);
  });

  it("are found with little work too", () => {
    const { tuned: found, shares } = tuned({ work: 2000 });
    expect(shares.length).toBeLessThan(whole.shares.length / 5);
    expect(found.after[0]).toBeLessThan(before[0]! - 1);
  });

  it("go on from others", () => {
    const from = withIdle([40, 0, 0]);
    const { tuned: found } = tuned({ from });
    expect(found.before).toEqual(before);
    expect(printAt(found.values).cost).toBeLessThan(printAt(from).cost);
    expect(found.after).toEqual([expect.closeTo(printAt(found.values).mean, 9)]);
  });

  it.each<[string, Parameters<typeof greysJob>, number]>([
    ["black reaches too far up", [22, 60, 30], 1],
    ["white covers too much", [60, 0, 40], 0],
    ["white covers too much, and black is somewhat soft", [60, 0, 20], 0],
  ])("are those of one part where one slip spoilt it: %s", (_, values, slipped) => {
    const job = greysJob(...values, idle);
    const { tuned: found } = tuned({}, job);
    expect(found.moves.map(({ dials }) => dials)).toEqual([[slipped]]);
    expect(found.values).toEqual(job.dials.map(({ value }, d) => (d === slipped ? found.values[d] : value)));
    // Seen: 1.6 of 18.8, 0.9 of 14.3, 1.8 of 16.8.
    expect(found.after[0]).toBeLessThan(0.12 * found.before[0]!);
  });

  it("stay as they are where they are at their best, or there are none, or nothing is printed", () => {
    const best = greysJob(...([22, 0, 40] as const));
    const again = tuned({}, best).tuned;
    expect(again.before[0]! - again.after[0]!).toBeLessThan(0.5);
    const none = tuned(
      {},
      { ...JOB, dials: [], plateAt: (plate) => JOB.plateAt(plate, withIdle(SPOILT)) },
    ).tuned;
    expect(none).toMatchObject({ moves: [], values: [], before: none.after });
    const clear = pictureOf(1, [[0, 0, 0, 0]]);
    const run = tune(JOB, clear, 2, { work: 1000, numbers: 40, pixels: PIXELS });
    const { done, value } = run.next();
    expect([done, value]).toEqual([true, expect.objectContaining({ moves: [], values: withIdle(SPOILT) })]);
  });
});

describe("what each plate's numbers would bring", () => {
  const gainsOf = (...values: Parameters<typeof greysJob>) => {
    const job = greysJob(...values);
    const run = plateGains(job, GREYS, 2);
    let looks = 0;
    for (;;) {
      const step = run.next();
      if (step.done) {
        expect(looks).toBe(2);
        return step.value;
      }
      looks++;
    }
  };

  it("is most for the plate that is far off, and next to nothing for one that is not", () => {
    const black = gainsOf(21, 60, 20);
    expect([...black.keys()]).toEqual([0, 1]);
    expect(black.get(1)).toBeGreaterThan(3);
    expect(black.get(1)).toBeGreaterThan(2 * black.get(0)!);
    const white = gainsOf(80, 0, 40);
    expect(white.get(0)).toBeGreaterThan(3);
    expect(white.get(0)).toBeGreaterThan(white.get(1)!);
    const good = gainsOf(20, 0, 40);
    for (const gain of good.values()) expect(Math.abs(gain)).toBeLessThan(0.6);
  });

  it("is what a few steps of that plate alone come to, from where all stay", () => {
    const print = printAt(withIdle(SPOILT));
    const search = new TuneSearch(JOB, print, Number.POSITIVE_INFINITY);
    const { cost } = print;
    const led = search.led(1, 4);
    expect(search.values).toEqual(withIdle(SPOILT));
    expect(print.cost).toBeCloseTo(cost, 9);
    expect([led[0], led[3]]).toEqual([50, 5]);
    expect(printAt(led).cost).toBeLessThan(cost - 1);
    // The first pass alone comes less far.
    const little = search.led(1, 1);
    expect(printAt(little).cost).toBeGreaterThan(printAt(led).cost);
    search.goTo(led);
    expect(search.means[0]).toBeCloseTo(printAt(led).mean, 9);
  });
});
