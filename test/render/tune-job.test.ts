import { describe, expect, it } from "vitest";
import type { TunableNumber } from "../../server/language/tunable.ts";
import { platePlan } from "../../server/render/plan/plate-plan.ts";
import { printConditions, wetStations } from "../../server/render/plan/print-plan.ts";
import { separationPlan } from "../../server/render/plan/separation-plan.ts";
import { tuneJob, withNumbers } from "../../server/render/tune-job.ts";
import { recipeOf } from "./jobs.ts";

const recipe = recipeOf({
  plates: `  base: { ink: white, purpose: underbase, extract: { artwork: opaque } }
  ember: { ink: ember, extract: { hue: [20, 60], any: [{ chroma: [40, 140] }, { near: "#d8431f", within: 5 }] } }
  night: { ink: ember, extract: { artwork: opaque }, strength: { lightness: [[10, 100], [80, 20]] } }
`,
  order: "base, flash, ember, night",
  more: `  light: { garments: [white, black], order: [ember] }
adjust:
  - { plate: ember, curve: [[0, 0], [50, 40], [100, 100]], region: { rectangle: { from: [1 mm, 1 mm], to: [9 mm, 9 mm] } } }
  - { plate: base, curve: [[0, 0], [100, 90]] }
  - { plate: ember, curve: [[0, 0], [100, 80]] }
`,
});
const number = (plate: string, path: (string | number)[], added?: number): TunableNumber => ({
  plate,
  path,
  value: 0,
  low: 0,
  high: 100,
  step: 8,
  ...(added === undefined ? {} : { added }),
});
const NUMBERS = [
  number("ember", ["plates", "ember", "extract", "hue", 1]),
  number("ember", ["plates", "ember", "extract", "any", 1, "within"]),
  number("ember", ["adjust", 0, "curve", 1, 1]),
  number("night", ["plates", "night", "strength", "lightness", 1, 1]),
  number("base", ["adjust", 1, "curve", 1, 1]),
];
const VALUES = [70, 9, 45, 30, 85];

describe("a recipe with other numbers", () => {
  it("has each at its place, and all else as it was", () => {
    const before = JSON.stringify([...recipe.plates]) + JSON.stringify(recipe.adjustments);
    const tuned = withNumbers(recipe, NUMBERS, VALUES);
    const [base, ember, night] = [...tuned.plates.values()];
    expect(ember!.extract).toEqual({
      hue: [20, 70],
      any: [{ chroma: [40, 140] }, { near: "#d8431f", within: 9 }],
    });
    expect(night!.strength).toEqual({
      lightness: [
        [10, 100],
        [80, 30],
      ],
    });
    expect(base).toEqual(recipe.plates.get("base"));
    expect(tuned.adjustments.map(({ curve }) => curve)).toEqual([
      [
        [0, 0],
        [50, 45],
        [100, 100],
      ],
      [
        [0, 0],
        [100, 85],
      ],
      [
        [0, 0],
        [100, 80],
      ],
    ]);
    expect(tuned.adjustments[0]!.region).toEqual(recipe.adjustments[0]!.region);
    // The recipe itself stays.
    expect(JSON.stringify([...recipe.plates]) + JSON.stringify(recipe.adjustments)).toBe(before);
  });

  it("has those of one plate alone where one is asked for", () => {
    const tuned = withNumbers(recipe, NUMBERS, VALUES, "night");
    expect(tuned.plates.get("ember")).toEqual(recipe.plates.get("ember"));
    expect(tuned.adjustments).toEqual(recipe.adjustments);
    expect(tuned.plates.get("night")!.strength).toEqual({
      lightness: [
        [10, 100],
        [80, 30],
      ],
    });
  });

  it("gets curves of strength where one of their pairs is not solid, beside those that it has", () => {
    const added = [
      number("base", ["plates", "base", "strength", "lightness"], 10),
      number("base", ["plates", "base", "strength", "lightness"], 95),
      number("base", ["plates", "base", "strength", "chroma"], 40),
    ];
    const strength = (...values: number[]) => withNumbers(recipe, added, values).plates.get("base")!.strength;
    const lightness = [
      [10, 100],
      [95, 60],
    ];
    expect(strength(100, 100, 100)).toBe("flat");
    expect(strength(100, 60, 100)).toEqual({ lightness });
    expect(strength(100, 100, 50)).toEqual({ chroma: [[40, 50]] });
    expect(strength(100, 60, 50)).toEqual({ lightness, chroma: [[40, 50]] });
    const beside = [number("night", ["plates", "night", "strength", "chroma"], 40)];
    expect(withNumbers(recipe, beside, [50]).plates.get("night")!.strength).toEqual({
      lightness: [
        [10, 100],
        [80, 20],
      ],
      chroma: [[40, 50]],
    });
  });
});

describe("a job to be tuned", () => {
  const job = tuneJob(
    recipe,
    NUMBERS,
    new Map([
      ["black", 0.25],
      ["white", 1],
    ]),
  );

  it("is the recipe's plan, with a dial for each number", () => {
    expect([job.plan, job.wetInk]).toEqual([separationPlan(recipe), recipe.solve.wetInk]);
    expect(job.dials.map(({ plate, low, high, step }) => [plate, low, high, step])).toEqual(
      [1, 1, 1, 2, 0].map((plate) => [plate, 0, 100, 8]),
    );
  });

  it("tells both ends of a range, and all pairs of a curve, as one", () => {
    const part = (...path: (string | number)[]) =>
      tuneJob(recipe, [number("ember", path)], new Map()).dials[0]!.part;
    expect(part("plates", "ember", "extract", "hue", 0)).toBe(part("plates", "ember", "extract", "hue", 1));
    expect(part("adjust", 0, "curve", 0, 1)).toBe(part("adjust", 0, "curve", 1, 1));
    expect(part("adjust", 0, "curve", 0, 1)).not.toBe(part("adjust", 2, "curve", 0, 1));
    expect(part("plates", "ember", "extract", "hue", 0)).not.toBe(
      part("plates", "ember", "extract", "chroma", 0),
    );
  });

  it("is for each setup on each garment that counts", () => {
    const [dark, light] = [recipe.setups.get("dark")!, recipe.setups.get("light")!];
    const print = (setup: typeof dark, name: string, garment: string, weight: number) => ({
      garment,
      setup: name,
      conditions: printConditions(recipe, setup, garment),
      stations: wetStations(recipe, setup),
      weight,
    });
    expect(job.prints).toEqual([
      print(dark, "dark", "black", 0.25),
      print(light, "light", "white", 1),
      print(light, "light", "black", 0.25),
    ]);
    const some = tuneJob(
      recipe,
      NUMBERS,
      new Map([
        ["black", 0],
        ["white", 1],
      ]),
    );
    expect(some.prints.map(({ garment }) => garment)).toEqual(["white"]);
    expect(tuneJob(recipe, NUMBERS, new Map()).prints).toEqual([]);
  });

  it("makes a plate with other numbers as the recipe with them would", () => {
    const tuned = withNumbers(recipe, NUMBERS, VALUES);
    const { extract, strength } = platePlan(tuned.plates.get("ember")!, tuned);
    expect(job.plateAt(1, VALUES)).toEqual({
      extract,
      strength,
      curves: [
        {
          curve: [
            [0, 0],
            [0.5, 0.45],
            [1, 1],
          ],
          region: recipe.adjustments[0]!.region,
        },
        {
          curve: [
            [0, 0],
            [1, 0.8],
          ],
          region: undefined,
        },
      ],
    });
  });
});
