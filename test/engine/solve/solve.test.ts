import { beforeAll, describe, expect, it } from "vitest";
import { deltaE00 } from "../../../server/engine/colour/ciede2000.ts";
import { type Lab, labFromBytes, labFromLinear } from "../../../server/engine/colour/cielab.ts";
import { preparePrint } from "../../../server/engine/print/model.ts";
import type { SolvePlan } from "../../../server/engine/solve/plan.ts";
import { type FixedTonesOf, Solver } from "../../../server/engine/solve/solve.ts";
import { random } from "../../property.ts";
import { allSolved, SHELF } from "./prints.ts";

/** White, gold, blue and black alone, on black. */
const FEW = allSolved([0, 1, 3, 6].map((i) => SHELF[i]));
type Rgb = [r: number, g: number, b: number];
const next = random(31);
const COLOURS = Array.from({ length: 200 }, (): Rgb => [next() * 255, next() * 255, next() * 255]);

function solved(plan: SolvePlan, fixedTonesOf: FixedTonesOf = () => {}): Solver {
  const solver = new Solver(plan, fixedTonesOf);
  for (const _ of solver.prepare());
  return solver;
}

function tonesOf(solver: Solver, colour: Rgb, count = FEW.solved.length): Float64Array {
  const tones = new Float64Array(count);
  solver.tones(...colour, tones);
  return tones;
}

let solver: Solver;
beforeAll(() => {
  solver = solved(FEW);
});

describe("all colours", () => {
  it("are as near as each of them by itself", () => {
    const best = new Float64Array(4);
    const excess = COLOURS.map((colour) => {
      const off = solver.difference(...colour, tonesOf(solver, colour));
      return off - solver.best(...colour, best);
    }).sort((p, q) => p - q);
    // Seen: 0.06 on the mean, 0.19 for 95 %: a few are held back where two ways to print a colour meet.
    expect(excess.reduce((sum, v) => sum + v, 0) / excess.length).toBeLessThan(0.08);
    expect(excess[100]).toBeLessThan(0.001);
    expect(excess[190]).toBeLessThan(0.25);
  });

  it("are the same whatever was asked before", () => {
    const again = solved(FEW);
    const other = COLOURS.toReversed().map((colour) => tonesOf(again, colour));
    expect(COLOURS.map((colour) => tonesOf(solver, colour))).toEqual(other.toReversed());
    expect(COLOURS.map((colour) => tonesOf(again, colour))).toEqual(other.toReversed());
  });

  it("are told as far as they are done", () => {
    const shares = [...new Solver(allSolved([SHELF[0]]), () => {}).prepare()];
    expect(shares).toEqual([0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1].map((share) => expect.closeTo(share, 12)));
  });

  it("go into one another the more smoothly the firmer neighbours hold", () => {
    const way = (by: Solver) => {
      let sum = 0;
      for (const [i, [r, g, b]] of COLOURS.slice(0, 60).entries()) {
        const [p, q, s] = COLOURS[i + 60];
        let before: Float64Array | undefined;
        for (let step = 0; step <= 20; step++) {
          const t = step / 20;
          const tones = tonesOf(by, [r + t * (p - r), g + t * (q - g), b + t * (s - b)]);
          if (before) for (const [j, tone] of tones.entries()) sum += (tone - before[j]) ** 2;
          before = tones;
        }
      }
      return sum;
    };
    expect(way(solver)).toBeLessThan(0.95 * way(solved({ ...FEW, smoothness: 0 })));
  });
});

describe("what the rest of the recipe says", () => {
  const seen: { colour: Lab; rgb: Rgb }[] = [];
  /** White by hand, half of it where the artwork is red; gold at most 0.3 where that is green. */
  const plan: SolvePlan = { ...FEW, solved: [1, 2, 3] };
  const white = (r: number) => (r > 128 ? 0.5 : 1);
  let mixed: Solver;
  beforeAll(() => {
    mixed = solved(plan, (colour, fixed, r, g, b) => {
      if (seen.length < 500) seen.push({ colour, rgb: [r, g, b] });
      fixed.tones[0] = white(r);
      fixed.most[0] = g > 128 ? 0.3 : 1;
    });
  });

  it("is asked for each colour, as CIELAB and sRGB", () => {
    for (const { colour, rgb } of seen) {
      const { L, a, b } = labFromBytes(...rgb);
      // Nodes lie between bytes.
      expect(deltaE00(colour.L, colour.a, colour.b, L, a, b)).toBeLessThan(0.5);
    }
    const sides = new Set(seen.flatMap(({ rgb }) => rgb));
    for (const v of [0, 31.875, 255]) expect(sides).toContain(v);
  });

  it("bounds tones", () => {
    let bounded = 0;
    for (const colour of COLOURS) {
      // Half a node away from the borders.
      if (colour.some((v) => Math.abs(v - 128) < 8)) continue;
      const [gold] = tonesOf(mixed, colour, 3);
      if (colour[1] > 128) {
        expect(gold).toBeLessThanOrEqual(0.3 + 1e-6);
        if (gold > 0.29) bounded++;
      }
    }
    expect(bounded).toBeGreaterThan(3);
  });

  it("prints with the tones: the difference is that of the print with them", () => {
    const print = preparePrint(plan.conditions, plan.stations);
    for (const colour of COLOURS.slice(0, 40)) {
      const bytes = colour.map(Math.round) as Rgb;
      const tones = tonesOf(mixed, bytes, 3);
      const [p, q] = [labFromBytes(...bytes), labFromLinear(print.colour([white(bytes[0]), ...tones]))];
      expect(mixed.difference(...bytes, tones)).toBeCloseTo(deltaE00(p.L, p.a, p.b, q.L, q.a, q.b), 2);
    }
  });
});

it("keeps within tones and within the ink that may lie wet", () => {
  const tight = solved({ ...FEW, wetInk: 1.2 });
  const next = random(5);
  const tones = new Float64Array(FEW.solved.length);
  let most = 0;
  for (let i = 0; i < 400; i++) {
    tight.tones(next() * 255, next() * 255, next() * 255, tones);
    expect(Math.min(...tones)).toBeGreaterThanOrEqual(0);
    expect(Math.max(...tones)).toBeLessThanOrEqual(1);
    most = Math.max(
      most,
      tones.slice(1).reduce((a, b) => a + b),
    );
  }
  expect(most).toBeGreaterThan(1.1);
  expect(most).toBeLessThan(1.26);
});

it("leaves a white garment bare where the artwork is white", () => {
  const garment = { L: 97, a: 0, b: 1 };
  const onWhite = solved({ ...FEW, conditions: { ...FEW.conditions, garment } });
  const tones = new Float64Array(FEW.solved.length);
  for (const light of [255, 250, 246]) {
    onWhite.tones(light, light, light, tones);
    expect(tones.reduce((a, b) => a + b)).toBeLessThan(0.05);
  }
});
