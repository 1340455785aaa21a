import { describe, expect, it } from "vitest";
import { deltaE00 } from "../../../server/engine/colour/ciede2000.ts";
import { type Lab, labFromLinear } from "../../../server/engine/colour/cielab.ts";
import { preparePrint } from "../../../server/engine/print/model.ts";
import type { WeightedColour } from "../../../server/engine/propose/colours.ts";
import { type Candidate, printOrder, type Substrate, Trial } from "../../../server/engine/propose/trial.ts";
import { BLACK_GARMENT, lab, SHELF } from "../solve/prints.ts";

const [WHITE, GOLD, , BLUE, , , BLACK] = SHELF.map(
  ([colour, opacity], i): Candidate => ({ name: `ink-${i}`, film: { colour, opacity } }),
) as [Candidate, Candidate, Candidate, Candidate, Candidate, Candidate, Candidate];
/** White garment, no underbase. */
const LIGHT: Substrate = {
  conditions: { garment: lab(96, 0, 2), n: 1, compensated: true, smallestDot: 0 },
  screen: { method: "am", rulingLpi: 45, angle: 22.5, dot: "round" },
  base: undefined,
  wetInk: 2.4,
  lightFirst: false,
  covered: 1,
};
const DARK: Substrate = {
  ...LIGHT,
  conditions: { ...LIGHT.conditions, garment: BLACK_GARMENT },
  base: WHITE,
  lightFirst: true,
};
const weighted = (...of: [Lab, number][]): WeightedColour[] => of.map(([lab, weight]) => ({ lab, weight }));
/** The gold ink's own colour. */
const GOLDEN = lab(81, 14, 78);
const far = (p: Lab, q: Lab) => deltaE00(p.L, p.a, p.b, q.L, q.a, q.b);
const COLOURS = weighted(
  [lab(75, 8, 45), 0.4],
  [lab(60, -5, -20), 0.3],
  [lab(30, 0, 0), 0.2],
  [lab(50, 60, 20), 0.1],
);

describe("a print of nothing", () => {
  const bare = Trial.start(LIGHT, COLOURS);
  const off = COLOURS.map((one) => far(one.lab, lab(96, 0, 2)));

  it("is as far off as the garment", () => {
    expect([...bare.misses]).toEqual(off);
    const mean = off.reduce((sum, miss, i) => sum + COLOURS[i]!.weight * miss, 0);
    expect(bare.reach().mean).toBeCloseTo(mean, 9);
    // Far misses weigh more: 0.06 of their square.
    const squares = off.reduce((sum, miss, i) => sum + COLOURS[i]!.weight * miss * miss, 0);
    expect(bare.reach().score).toBeCloseTo(mean + 0.06 * squares, 9);
  });

  it("has the miss that 95 % of the weight keep, and means of the colours that are asked for", () => {
    const sorted = [...off].sort((p, q) => p - q);
    expect(bare.reach().p95).toBe(sorted[3]);
    const twenty = Trial.start(
      LIGHT,
      weighted(...COLOURS.map(({ lab }, i) => [lab, i === 2 ? 0.04 : 0.32] as [Lab, number])),
    );
    // The farthest, the grey, is of 4 % alone.
    expect(off[2]).toBe(sorted[3]);
    expect(twenty.reach().p95).toBe(sorted[2]);
    expect(bare.reach([1]).mean).toBeCloseTo(off[1]!, 12);
    expect(bare.reach([0, 1]).mean).toBeCloseTo((0.4 * off[0]! + 0.3 * off[1]!) / 0.7, 12);
  });

  it("names the colours that miss most, by their weight", () => {
    const cost = (i: number) => COLOURS[i]!.weight * (off[i]! + 0.06 * off[i]! ** 2);
    const order = [0, 1, 2, 3].sort((p, q) => cost(q) - cost(p));
    expect(bare.worst(4)).toEqual(order);
    expect(bare.worst(2)).toEqual(order.slice(0, 2));
    const alike = Trial.start(LIGHT, weighted([lab(50, 0, 0), 0.5], [lab(50, 0, 0), 0.5]));
    expect(alike.worst(2)).toEqual([0, 1]);
  });
});

describe("a print of inks", () => {
  const inks = [BLUE, GOLD, BLACK];
  const trial = Trial.start(LIGHT, COLOURS).with(inks, 30);

  it("misses what its tones print, in print order, and less with each ink", () => {
    const order = printOrder(inks, LIGHT.lightFirst);
    const stations = order.map(({ film }) => ({ ink: film, screen: LIGHT.screen }));
    const print = preparePrint(LIGHT.conditions, stations);
    for (const [c, one] of COLOURS.entries()) {
      const tones = order.map((ink) => trial.tone(c, inks.indexOf(ink)));
      expect(trial.misses[c]).toBeCloseTo(far(one.lab, labFromLinear(print.colour(tones))), 2);
    }
    const two = Trial.start(LIGHT, COLOURS).with([BLUE, GOLD], 30);
    expect(trial.reach().mean).toBeLessThan(two.reach().mean);
    expect(two.reach().mean).toBeLessThan(Trial.start(LIGHT, COLOURS).reach().mean);
    expect(trial.misses[2]).toBeLessThan(1);
  });

  it("prints the same by hand", () => {
    const print = trial.printer();
    for (const c of COLOURS.keys())
      expect(
        print(
          c,
          Float64Array.from(inks, (_, i) => trial.tone(c, i)),
        ),
      ).toBeCloseTo(trial.misses[c]!, 9);
    expect(print(0, new Float64Array(3))).toBeCloseTo(far(COLOURS[0]!.lab, lab(96, 0, 2)), 2);
  });

  it("keeps the tones of inks that stay, in whatever order, and solves only the colours asked for", () => {
    const turned = trial.with([BLACK, BLUE, GOLD], 0);
    for (const c of COLOURS.keys()) {
      expect([turned.tone(c, 1), turned.tone(c, 2), turned.tone(c, 0)]).toEqual(
        [0, 1, 2].map((i) => trial.tone(c, i)),
      );
      expect(turned.misses[c]).toBeCloseTo(trial.misses[c]!, 9);
    }
    const fewer = trial.with([BLUE], 5, [1]);
    expect(fewer.misses[0]).toBe(trial.misses[0]);
    expect(fewer.misses[1]).toBeGreaterThan(trial.misses[1]! + 0.5);
    expect(fewer.tone(0, 0)).toBe(trial.tone(0, 0));
  });

  it("takes over the tones of an ink whose place another takes", () => {
    const other = { ...GOLD, name: "other" };
    const renamed = trial.renamed(1, other);
    expect(renamed.inks).toEqual([BLUE, other, BLACK]);
    expect(renamed.reach().mean).toBe(trial.reach().mean);
    const again = renamed.with(renamed.inks, 0);
    for (const c of COLOURS.keys()) expect(again.misses[c]).toBeCloseTo(trial.misses[c]!, 9);
  });

  it("covers what its tones do, over all of the print", () => {
    const of = (trial: Trial) => trial.coverage();
    const mean = inks.map((_, i) =>
      COLOURS.reduce((sum, { weight }, c) => sum + weight * trial.tone(c, i), 0),
    );
    for (const [i, share] of of(trial).entries()) expect(share).toBeCloseTo(mean[i]!, 9);
    const half = Trial.start({ ...LIGHT, covered: 0.5 }, COLOURS).with(inks, 30);
    for (const [i, share] of of(half).entries()) expect(share).toBeCloseTo(mean[i]! / 2, 9);
    const heavy = weighted(...COLOURS.map(({ lab, weight }) => [lab, 3 * weight] as [Lab, number]));
    for (const [i, share] of of(Trial.start(LIGHT, heavy).with(inks, 30)).entries())
      expect(share).toBeCloseTo(mean[i]!, 9);
  });
});

describe("on an underbase", () => {
  it("the white prints by itself, and its tones are counted apart from the inks'", () => {
    const greys = weighted([lab(90, 0, 2), 0.5], [lab(50, 0, 0), 0.5]);
    const start = Trial.start(DARK, greys);
    expect(start.inks).toEqual([]);
    // White alone prints greys on black.
    for (const miss of start.misses) expect(miss).toBeLessThan(3);
    const gold = Trial.start(DARK, COLOURS).with([GOLD], 20);
    expect(gold.tone(0, 0)).toBeGreaterThan(0.3);
    expect(gold.tone(2, 0)).toBeLessThan(0.1);
    expect(gold.coverage()).toHaveLength(1);
    expect(gold.coverage()[0]).toBeCloseTo(
      COLOURS.reduce((sum, { weight }, c) => sum + weight * gold.tone(c, 0), 0),
      9,
    );
  });
});

describe("an ink that a separator would not take", () => {
  /** What the score has over the misses. */
  const odd = (trial: Trial) => {
    const { score } = trial.reach();
    const all = trial.colours.reduce((sum, { weight }, c) => {
      const miss = trial.misses[c]!;
      return sum + weight * (miss + 0.06 * miss * miss);
    }, 0);
    return score - all;
  };
  const nearGold = weighted([GOLDEN, 1]);

  it("costs 1 where it prints nothing, and less where it prints a little", () => {
    const none = Trial.start(LIGHT, nearGold).with([GOLD, BLUE], 30);
    expect(none.tone(0, 1)).toBeLessThan(0.001);
    expect(odd(none)).toBeCloseTo(1 - none.tone(0, 1) / 0.007, 3);
    expect(odd(Trial.start(LIGHT, nearGold).with([GOLD], 30))).toBe(0);
    // What covers a tenth of the print must print ten times as much of that.
    const small = Trial.start(
      { ...LIGHT, covered: 0.1 },
      weighted([GOLDEN, 0.98], [lab(46, -10, -42), 0.02]),
    );
    const both = small.with([GOLD, BLUE], 30);
    const share = 0.02 * both.tone(1, 1) + 0.98 * both.tone(0, 1);
    expect(odd(both)).toBeCloseTo(1 - share / 0.07, 6);
  });

  it("costs a tenth of the ΔE00 over 33 that it lies from what it mostly prints", () => {
    const pale = lab(88, 0, -8);
    const trial = Trial.start(LIGHT, weighted([pale, 1])).with([BLUE], 30);
    expect(trial.tone(0, 0)).toBeGreaterThan(0.01);
    const off = far(pale, lab(46, -10, -42));
    expect(off).toBeGreaterThan(34);
    expect(odd(trial)).toBeCloseTo(0.1 * (off - 33), 6);
    // A dark prints the shadows of all colours, a highlight lies on all of them.
    const dark = Trial.start(LIGHT, weighted([lab(80, 0, 0), 1])).with([BLACK], 30);
    expect(far(lab(80, 0, 0), lab(6, 0, -1))).toBeGreaterThan(34);
    expect(odd(dark)).toBe(0);
    expect(odd(Trial.start(LIGHT, weighted([pale, 1])).with([{ ...BLUE, onTop: true }], 30))).toBe(0);
  });
});
