import { describe, expect, it } from "vitest";
import { labFromBytes } from "../../../server/engine/colour/cielab.ts";
import type { SolvePlan } from "../../../server/engine/solve/plan.ts";
import { Search } from "../../../server/engine/solve/search.ts";
import { random } from "../../property.ts";
import { allSolved, SHELF } from "./prints.ts";

const PLAN = allSolved();
const DOT = PLAN.conditions.smallestDot;
const COUNT = PLAN.solved.length;
const next = random(11);
const colours = Array.from({ length: 40 }, () => [next(), next(), next()].map((v) => Math.floor(v * 256)));

function searchFor([r, g, b]: readonly number[], plan: SolvePlan = PLAN): Search {
  const search = new Search(plan);
  search.prints.target(labFromBytes(r!, g!, b!));
  return search;
}

describe("settling", () => {
  it("leaves no tone in a gap, and all within their bounds, which stay", () => {
    for (const colour of colours) {
      const search = searchFor(colour);
      // Of each second plate no dot may print: the most is under the smallest.
      search.most.forEach((_, j) => {
        search.most[j] = j % 2 === 0 ? 1 : 0.75 * DOT;
      });
      const most = search.most.slice();
      const tones = new Float64Array(COUNT).fill(0.5 * DOT);
      search.descend(tones);
      const cost = search.settle(tones);
      for (const [j, tone] of tones.entries()) {
        if (j % 2 === 1) expect(tone).toBeLessThan(1e-3);
        else
          expect(tone < 1e-3 || (tone > DOT - 1e-3 && tone < 1 - DOT + 1e-3) || tone > 1 - 1e-3).toBe(true);
      }
      expect(search.cost(tones)).toBeCloseTo(cost, 9);
      expect(search.most).toEqual(most);
      expect([...search.least]).toEqual(Array(COUNT).fill(0));
    }
  });

  it("takes the smallest dot where that is the most and better than nothing", () => {
    let dots = 0;
    for (const colour of colours) {
      const search = searchFor(colour);
      search.most[1] = DOT;
      const tones = new Float64Array(COUNT);
      tones[0] = 1;
      tones[1] = 0.9 * DOT;
      search.settle(tones);
      if (tones[1]! > DOT - 1e-9) dots++;
      else expect(tones[1]).toBe(0);
    }
    expect(dots).toBeGreaterThan(0);
  });
});

describe("the cost of tones", () => {
  // Clear, solid, two halftones and a tint.
  const tones = Float64Array.of(1, 0.5, 0, 0.2, 0.03, 0, 0);
  const costOf = (rest: Partial<SolvePlan>, prepare: (search: Search) => void = () => {}) => {
    const search = searchFor(colours[0]!, allSolved(SHELF, { wetInk: 3, ...rest }));
    prepare(search);
    return search.cost(tones) - search.difference(tones) ** 2;
  };
  const ink = tones.reduce((sum, t) => sum + t * (0.8 + 0.8 * t) + (0.8 * t) / (t + 0.05), 0);

  it("is of ink, by its tone and its square, and of printing at all", () => {
    expect(costOf({ halftonePrice: 0 })).toBeCloseTo(ink, 9);
  });

  it("is of the halftones beyond the first, and their square", () => {
    const halftones = searchFor(colours[0]!).halftones(tones);
    // A middle tone counts as one, less ink as less of one.
    expect(halftones).toBeGreaterThan(2);
    expect(halftones).toBeLessThan(3);
    const more = halftones - 1;
    expect(costOf({ halftonePrice: 0.5 }) - ink).toBeCloseTo(0.5 * (2.4 * more + 1.3 * more ** 2), 9);
  });

  it("is of what is over the limit of wet ink", () => {
    // A solid before the flash, 0.5 + 0.2 + 0.03 after it.
    expect(costOf({ halftonePrice: 0, wetInk: 0.7 }) - ink).toBeCloseTo(4000 * (0.3 ** 2 + 0.03 ** 2), 6);
  });

  it("is of the way from a prior, and of a held plate's from what is asked for", () => {
    const far = costOf({ halftonePrice: 0 }, (search) => {
      search.priorWeight = 10;
      search.prior.set([1, 0.3, 0, 0.2, 0.03, 0, 0.5]);
    });
    expect(far - ink).toBeCloseTo(10 * (0.2 ** 2 + 0.5 ** 2), 9);
    const held = costOf({ halftonePrice: 0, held: 1 }, (search) => {
      search.heldTo = 0.3;
    });
    expect(held - ink).toBeCloseTo(50 * 0.2 ** 2, 9);
  });

  it("counts no halftone where all is clear or solid, one in the middle, and a part of one in tints", () => {
    const of = (tone: number) => searchFor(colours[0]!).halftones(new Float64Array(COUNT).fill(tone));
    expect([of(0), of(1)]).toEqual([0, 0]);
    expect(of(0.5)).toBeCloseTo(COUNT, 9);
    // Tone times clear part is 0.03: half of it, and 4 · 0.03 more.
    expect(of(0.5 - Math.sqrt(0.25 - 0.03))).toBeCloseTo(COUNT * 0.56, 9);
  });
});

describe("descending", () => {
  const anywhere = (count: number) => Float64Array.from({ length: count }, () => (next() < 0.3 ? 0 : next()));

  it.each<[string, Partial<SolvePlan>, (search: Search) => void]>([
    ["usual", {}, () => {}],
    ["no price of halftones", { halftonePrice: 0 }, () => {}],
    ["little wet ink", { halftonePrice: 0, wetInk: 0.6 }, () => {}],
    [
      "a prior",
      { halftonePrice: 0 },
      (search) => {
        search.priorWeight = 18;
        search.prior.set(anywhere(COUNT));
      },
    ],
    [
      "a held plate",
      { halftonePrice: 0, held: 6 },
      (search) => {
        search.heldTo = next();
      },
    ],
    [
      "bounds",
      { halftonePrice: 0 },
      (search) => {
        search.most.set(anywhere(COUNT));
        search.least.set(search.most.map((most) => 0.3 * most));
      },
    ],
  ])("comes to where no small step of one plate helps: %s", (_, rest, prepare) => {
    const plan = allSolved(SHELF, rest);
    const left: number[] = [];
    const gains = colours.slice(0, 20).map((colour) => {
      const search = searchFor(colour, plan);
      prepare(search);
      const tones = anywhere(COUNT);
      const hasty = tones.slice();
      const start = search.cost(
        tones.map((t, j) => Math.min(search.most[j]!, Math.max(search.least[j]!, t))),
      );
      const cost = search.descend(tones, 200);
      left.push(search.descend(hasty, 10) - cost);
      expect(search.cost(tones)).toBeCloseTo(cost, 9);
      expect(cost).toBeLessThanOrEqual(start);
      for (const [j, tone] of tones.entries()) {
        expect(tone).toBeGreaterThanOrEqual(search.least[j]! - 1e-12);
        expect(tone).toBeLessThanOrEqual(search.most[j]! + 1e-12);
      }
      const steps = [...tones].flatMap((tone, j) =>
        [0.01, -0.01, 0.003, -0.003].map((by) => {
          const to = Math.min(search.most[j]!, Math.max(search.least[j]!, tone + by));
          return cost - search.cost(tones.with(j, to));
        }),
      );
      return Math.max(...steps);
    });
    // Seen: at most 0.03, but for one that a bound holds in a bend; nine of ten are within 0.02.
    gains.sort((a, b) => a - b);
    expect(gains[17]).toBeLessThan(0.03);
    // Ten steps are enough for most colours, since the curvature is known.
    left.sort((a, b) => a - b);
    expect(left[11]).toBeLessThan(0.03);
  });

  it("takes no more steps than it may", () => {
    const search = searchFor(colours[1]!);
    const tones = new Float64Array(COUNT).fill(0.5);
    const cost = search.cost(tones);
    expect(search.descend(tones, 0)).toBeCloseTo(cost, 9);
    expect([...tones]).toEqual(Array(COUNT).fill(0.5));
    const one = tones.slice();
    const after = search.descend(one, 1);
    expect(after).toBeLessThan(cost);
    expect(search.descend(tones, 30)).toBeLessThan(after);
  });
});

describe("thinning", () => {
  const price = 2;

  it("leaves no halftone whose taking out would cost less, and all bounds as they were", () => {
    let fewer = 0;
    for (const colour of colours.slice(0, 20)) {
      const search = searchFor(colour, allSolved(SHELF, { halftonePrice: price }));
      search.least[1] = 0.1;
      search.most[2] = 0.6;
      const [least, most] = [search.least.slice(), search.most.slice()];
      const tones = new Float64Array(COUNT).fill(0.4);
      // As if halftones cost nothing.
      searchFor(colour, allSolved(SHELF, { halftonePrice: 0 })).descend(tones);
      for (const [j, tone] of tones.entries()) tones[j] = Math.min(most[j]!, Math.max(least[j]!, tone));
      const [before, many] = [search.cost(tones), search.halftones(tones)];
      const cost = search.thin(tones, 12);
      expect(cost).toBeLessThanOrEqual(before);
      expect(search.cost(tones)).toBeCloseTo(cost, 9);
      if (search.halftones(tones) < many - 0.5) fewer++;
      expect([search.least, search.most]).toEqual([least, most]);
      for (const [j, tone] of tones.entries()) {
        // What is all but clear or solid is no halftone to be taken out.
        if (tone < 0.02 || tone > 0.98) continue;
        for (const end of [0, 1].filter((end) => end >= least[j]! && end <= most[j]!)) {
          search.least[j] = search.most[j] = end;
          expect(search.descend(tones.slice(), 12)).toBeGreaterThanOrEqual(cost - 1e-9);
          search.least[j] = least[j]!;
          search.most[j] = most[j]!;
        }
      }
    }
    // Seen: 5 of 20, for few colours take many plates.
    expect(fewer).toBeGreaterThan(2);
  });

  it("does nothing where halftones cost nothing", () => {
    const search = searchFor(colours[2]!, allSolved(SHELF, { halftonePrice: 0 }));
    const tones = new Float64Array(COUNT).fill(0.4);
    expect(search.thin(tones)).toBe(search.cost(tones));
    expect([...tones]).toEqual(Array(COUNT).fill(0.4));
  });

  it("takes a tone to the nearer end alone where a prior holds it", () => {
    let [held, far] = [0, 0];
    for (const colour of colours) {
      for (const weight of [0, 1e-6]) {
        const search = searchFor(colour, allSolved([SHELF[0]!, SHELF[3]!], { halftonePrice: price }));
        // No step: a tone stays where it is, or goes to an end.
        const tones = Float64Array.of(0.6, 0.6);
        search.priorWeight = weight;
        search.prior.set(tones);
        search.thin(tones, 0);
        const toZero = tones.filter((tone) => tone === 0).length;
        if (weight > 0) held += toZero;
        else far += toZero;
      }
    }
    expect(held).toBe(0);
    expect(far).toBeGreaterThan(10);
  });
});

describe("the plate deepest in a gap", () => {
  const inGap = (tones: readonly number[], prepare: (search: Search) => void = () => {}) => {
    const search = searchFor(colours[0]!);
    prepare(search);
    return search.inGap(Float64Array.from({ length: COUNT }, (_, j) => tones[j] ?? 0));
  };

  it.each<[string, readonly number[], number]>([
    ["none where all is clear, solid or a dot that holds", [0, 1, DOT, 1 - DOT, 0.5], -1],
    ["below the smallest dot", [0, 0.5 * DOT], 1],
    ["above the smallest hole", [0, 0, 1 - 0.5 * DOT], 2],
    ["the deeper of two tints", [0.2 * DOT, 0.4 * DOT], 1],
    ["as deep from either end of the gap", [0.9 * DOT, 1 - 0.2 * DOT], 1],
    ["the first of two as deep", [0.3 * DOT, 0.3 * DOT], 0],
    ["none where it is a hair deep", [0.02 * DOT, 1 - 0.02 * DOT], -1],
    ["none where a dot or a hole all but holds", [0.98 * DOT, 1 - 0.98 * DOT], -1],
  ])("%s", (_, tones, found) => {
    expect(inGap(tones)).toBe(found);
  });

  it("is none that its bounds hold there", () => {
    const tint = [0.5 * DOT];
    expect(inGap(tint, ({ least }) => least.set([0.2 * DOT]))).toBe(-1);
    const hole = [1 - 0.5 * DOT];
    expect(inGap(hole, ({ most }) => most.set([1 - DOT]))).toBe(-1);
    expect(inGap(hole, ({ most }) => most.set([1 - 0.4 * DOT]))).toBe(0);
  });
});
