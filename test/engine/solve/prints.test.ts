import { describe, expect, it } from "vitest";
import { deltaE00 } from "../../../server/engine/colour/ciede2000.ts";
import { type Lab, labFromBytes, labFromLinear } from "../../../server/engine/colour/cielab.ts";
import { preparePrint } from "../../../server/engine/print/model.ts";
import { Forward } from "../../../server/engine/solve/forward.ts";
import { Difference } from "../../../server/engine/solve/objective.ts";
import { printsOf, type SolvePlan, type SolvePrint } from "../../../server/engine/solve/plan.ts";
import { Prints } from "../../../server/engine/solve/prints.ts";
import { random } from "../../property.ts";
import { allSolved, lab, SHELF } from "./prints.ts";

/** Three inks on black, and on white, where the first does not print and the others lie wet otherwise; this counts thrice. */
const first = allSolved([SHELF[0], SHELF[1], SHELF[3]]);
const PLAN: SolvePlan = {
  ...first,
  also: [
    {
      conditions: { ...first.conditions, garment: lab(96, 0, 2), n: 1.6 },
      stations: first.stations.slice(1).map((station) => ({ ...station, wetGroup: 0 })),
      weight: 3,
    },
  ],
};
const target = labFromBytes(150, 120, 60);

function printed({ conditions, stations }: SolvePrint, tones: Float64Array): Lab {
  return labFromLinear(preparePrint(conditions, stations).colour(stations.map(({ plate }) => tones[plate])));
}

const somewhere = (count: number) => {
  const next = random(22);
  return Array.from({ length: count }, () => Float64Array.from({ length: 3 }, () => 0.05 + 0.9 * next()));
};

describe("several prints", () => {
  it("are as far off as the mean of their squares, by their weights", () => {
    const prints = new Prints(PLAN);
    prints.target(target);
    for (const tones of somewhere(10)) {
      const squares = printsOf<SolvePrint>(PLAN).map((print) => {
        const { L, a, b } = printed(print, tones);
        return deltaE00(target.L, target.a, target.b, L, a, b) ** 2;
      });
      // The table of overprints has single precision.
      expect(prints.squared(tones)).toBeCloseTo(0.25 * squares[0] + 0.75 * squares[1], 2);
    }
  });

  it("have the gradient that small steps show, and twice the product of the slopes as curvature", () => {
    const prints = new Prints(PLAN);
    prints.target(target);
    for (const tones of somewhere(10)) {
      // Both are added to what stands there.
      const [gradient, hessian] = [new Float64Array(3).fill(7), new Float64Array(9).fill(7)];
      expect(prints.linearise(tones, gradient, hessian)).toBeCloseTo(prints.squared(tones), 9);
      const h = 1e-4;
      const slopes = [0, 1, 2].map((j) => {
        const [up, down] = [h, -h].map((by) => prints.squared(tones.with(j, tones[j] + by)));
        return (up - down) / (2 * h);
      });
      // Seen: 1.9 % of the steepest, since ΔE00's own slopes come of steps.
      const near = 0.03 * Math.max(...slopes.map(Math.abs));
      for (const [j, slope] of slopes.entries()) expect(Math.abs(gradient[j] - 7 - slope)).toBeLessThan(near);

      const [down, bend] = [new Float64Array(3).fill(7), new Float64Array(9).fill(7)];
      for (const [print, share] of [
        [PLAN, 0.25],
        [PLAN.also![0], 0.75],
      ] as const) {
        const [forward, difference] = [new Forward(PLAN, print), new Difference(print.conditions.n)];
        difference.set(target);
        forward.slopes(tones);
        difference.withSlopes(forward.bands);
        const rise = (part: number, j: number) =>
          [0, 1, 2].reduce((sum, k) => sum + difference.slopes[3 * part + k] * forward.slope[3 * j + k], 0);
        for (let part = 0; part < 3; part++)
          for (let j = 0; j < 3; j++) {
            down[j] += 2 * share * rise(part, j) * difference.parts[part];
            for (let i = 0; i < 3; i++) bend[3 * i + j] += 2 * share * rise(part, i) * rise(part, j);
          }
      }
      for (const [j, value] of gradient.entries()) expect(value).toBeCloseTo(down[j], 6);
      for (const [k, value] of hessian.entries()) expect(value).toBeCloseTo(bend[k], 6);
    }
  });
});

describe("ink that lies wet", () => {
  /** Plate 1 is knocked out by plate 2; all but the first lie wet together. */
  const plan: SolvePlan = {
    ...first,
    wetInk: 1.1,
    stations: first.stations.map((station) =>
      station.plate === 1 ? { ...station, knockedOutBy: [{ plate: 2, above: 0 }] } : station,
    ),
  };

  it("costs 4000 times its square over the limit, group by group", () => {
    const prints = new Prints(plan);
    // 0.9 · (1 − 0.8) + 0.8 = 0.98.
    expect(prints.overflow(Float64Array.of(1, 0.9, 0.8))).toBe(0);
    // 0.9 · (1 − 0.5) + 0.5 = 0.95; without the knockout it would be 1.4.
    const open = new Prints({ ...first, wetInk: 1.1 });
    expect(open.overflow(Float64Array.of(1, 0.9, 0.5))).toBeCloseTo(4000 * 0.3 ** 2, 6);
    expect(new Prints({ ...plan, wetInk: 0.9 }).overflow(Float64Array.of(1, 0.9, 0.5))).toBeCloseTo(
      4000 * (0.1 ** 2 + 0.05 ** 2),
      6,
    );
    const both = new Prints({ ...PLAN, wetInk: 1.1 });
    expect(both.overflow(Float64Array.of(1, 0.9, 0.5))).toBeCloseTo(2 * 4000 * 0.3 ** 2, 6);
  });

  it("has the slopes of that, and is not bent by groups within the limit", () => {
    const tight = new Prints({ ...plan, wetInk: 0.8 });
    const tones = Float64Array.of(0.7, 0.6, 0.5);
    // The second group alone: 0.6 · (1 − 0.5) + 0.5 = 0.8, at the limit; a little over it with more of plate 1.
    const over = tones.with(1, 0.8);
    const [gradient, hessian] = [new Float64Array(3), new Float64Array(9)];
    tight.overflow(tones);
    tight.addOverflow(tones, gradient, hessian);
    expect([...gradient, ...hessian]).toEqual(Array(12).fill(0));
    tight.overflow(over);
    tight.addOverflow(over, gradient, hessian);
    // 0.8 · 0.5 + 0.5 = 0.9: 0.1 over. Its slopes: 1 − 0.5 with plate 1, 1 − 0.8 with plate 2.
    const slopes = [0, 0.5, 0.2];
    for (let j = 0; j < 3; j++) {
      expect(gradient[j]).toBeCloseTo(2 * 4000 * 0.1 * slopes[j], 3);
      for (let i = 0; i < 3; i++) expect(hessian[3 * i + j]).toBeCloseTo(2 * 4000 * slopes[i] * slopes[j], 3);
    }
  });
});
