import { describe, expect, it } from "vitest";
import { chromaOf } from "../../../server/engine/colour/cielab.ts";
import { separationPlan } from "../../../server/render/plan/separation-plan.ts";
import { recipeOf } from "../jobs.ts";

describe("a separation plan", () => {
  it("measures strength by chroma against the plate's own ink", () => {
    const recipe = recipeOf({
      plates:
        "  a: { ink: ember, extract: { artwork: opaque }, strength: chroma }\n  b: { ink: ember, extract: { artwork: opaque }, strength: darkness }\n",
    });
    const { a, b } = recipe.inks.get("ember")!.colour.lab;
    expect(separationPlan(recipe).plates.map(({ strength }) => strength)).toEqual([
      { by: "chroma", full: chromaOf(a, b) },
      { by: "darkness" },
    ]);
    expect(chromaOf(a, b)).toBeGreaterThan(60);
  });

  it("has tones from 0 to 1, and millimetres", () => {
    const plan = separationPlan(
      recipeOf({
        more: `adjust:
  - { plate: base, curve: [[0, 5], [50, 60], [100, 100]] }
  - { plate: ember, curve: [[0, 0], [100, 50]], region: { rectangle: { from: [1 cm, 0 mm], to: [2 cm, 1 in] }, feather: 1 mm } }
merges: [{ fold: ember, into: base }]
knockouts: [{ from: base, where: ember, choke: 0.02 cm }]
traps: [{ plate: base, spread: 0.3 mm }]
screening: { smallest-dot: 4% }
`,
      }),
    );
    expect(plan.adjustments).toEqual([
      {
        plate: "base",
        curve: [
          [0, 0.05],
          [0.5, 0.6],
          [1, 1],
        ],
        region: undefined,
      },
      {
        plate: "ember",
        curve: [
          [0, 0],
          [1, 0.5],
        ],
        region: { shape: "rectangle", from: [10, 0], to: [20, 25.4], feather: 1 },
      },
    ]);
    expect(plan.merges).toEqual([{ fold: "ember", into: "base" }]);
    expect(plan.knockouts).toEqual([{ from: "base", where: "ember", choke: 0.2 }]);
    expect(plan.traps).toEqual([{ plate: "base", way: "spread", distance: 0.3 }]);
    expect(plan.smallestDot).toBeCloseTo(0.04, 9);
  });

  it("has knockouts in one order, whatever the recipe's", () => {
    const listed = (...knockouts: string[]) =>
      separationPlan(recipeOf({ more: `knockouts: [${knockouts.join(", ")}]\n` })).knockouts;
    const a = "{ from: ember, where: base, choke: 0.2 mm }";
    const b = "{ from: ember, where: base, choke: 0.3 mm }";
    const c = "{ from: base, where: ember, choke: 0.1 mm }";
    const one = [
      { from: "ember", where: "base", choke: 0.2 },
      { from: "ember", where: "base", choke: 0.3 },
      { from: "base", where: "ember", choke: 0.1 },
    ];
    expect(listed(a, b, c)).toEqual(one);
    expect(listed(c, b, a)).toEqual(one);
    expect(listed(b, c, a)).toEqual(one);
  });
});
