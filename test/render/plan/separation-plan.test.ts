import { describe, expect, it } from "vitest";
import { chromaOf } from "../../../server/engine/colour/cielab.ts";
import type { Recipe } from "../../../server/language/recipe.ts";
import { printConditions } from "../../../server/render/plan/print-plan.ts";
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

  it("has knockouts of one choke by the tone that they begin at, without a key where that is none", () => {
    const knockouts = (text: string) => separationPlan(recipeOf({ more: `knockouts: ${text}\n` })).knockouts;
    const [none, some, more] = ["", ", above: 25%", ", above: 50%"].map(
      (above) => `{ from: base, where: ember${above} }`,
    );
    const one = [
      { from: "base", where: "ember", choke: 0 },
      { from: "base", where: "ember", above: 0.25, choke: 0 },
      { from: "base", where: "ember", above: 0.5, choke: 0 },
    ];
    for (const order of [
      [none, some, more],
      [more, some, none],
      [some, none, more],
    ])
      expect(knockouts(`[${order.join(", ")}]`)).toEqual(one);
    expect(Object.keys(knockouts(`[${none}]`)[0]!)).not.toContain("above");
  });

  it("has a spread under the plate that it is for, and neighbours' spreads behind", () => {
    const { traps } = separationPlan(
      recipeOf({
        plates:
          "  a: { ink: white, extract: { artwork: opaque } }\n  b: { ink: ember, extract: { artwork: opaque } }\n",
        order: "a, b",
        more: "traps: [{ plate: a, spread: 0.1 mm, under: b }, { neighbours: 0.2 mm }]\n",
      }),
    );
    expect(traps).toEqual([
      { plate: "a", way: "spread", distance: 0.1, under: ["b"] },
      { plate: "a", way: "spread", distance: 0.2, under: ["b"], solid: true },
    ]);
  });
});

describe("the thinnest line and gap of a plate", () => {
  const MESHES = new Map([["fine", { count: 254 }]]) as unknown as Recipe["meshes"];
  const of = (screening = "", mesh = "fine", extract = "{ artwork: opaque }") => {
    const recipe = recipeOf({
      plates: `  a: { ink: ember, extract: ${extract} }\n`,
      order: "a",
      more: screening === "" ? "" : `screening: { ${screening} }\n`,
    });
    const plate = { ...recipe.plates.get("a")!, mesh };
    return separationPlan({ ...recipe, meshes: MESHES, plates: new Map([["a", plate]]) }).thinnest;
  };

  it("are the pitch of its mesh, 25.4 mm by the threads an inch", () => {
    expect(of()).toEqual([{ plate: "a", line: expect.closeTo(0.1, 12), gap: expect.closeTo(0.1, 12) }]);
  });

  it("are what its screening says, each by itself", () => {
    expect(of("smallest-line: 0.3 mm")).toEqual([{ plate: "a", line: 0.3, gap: expect.closeTo(0.1, 12) }]);
    expect(of("smallest-gap: 0.4 mm")).toEqual([{ plate: "a", line: expect.closeTo(0.1, 12), gap: 0.4 }]);
    expect(of("smallest-line: 0.3 mm, smallest-gap: 0 mm")).toEqual([{ plate: "a", line: 0.3, gap: 0 }]);
    expect(of("smallest-line: 0 mm, smallest-gap: 0.4 mm")).toEqual([{ plate: "a", line: 0, gap: 0.4 }]);
  });

  it("are none without mesh and figures, and none of squares, which are as small as they are asked for", () => {
    expect(separationPlan(recipeOf({})).thinnest).toEqual([]);
    expect(of("", "unknown")).toEqual([]);
    expect(of("smallest-line: 0.3 mm", "unknown")).toEqual([{ plate: "a", line: 0.3, gap: 0 }]);
    expect(of("smallest-line: 0 mm, smallest-gap: 0 mm")).toEqual([]);
    expect(of("", "fine", "{ index: squares }")).toEqual([]);
  });
});

describe("what is done to the whole picture first", () => {
  const of = (artwork: string, parts: Parameters<typeof recipeOf>[0] = {}) =>
    separationPlan(recipeOf({ ...parts, artwork })).preparation;

  it("is nothing where nothing is asked for", () => {
    expect(of("")).toBeUndefined();
  });

  it("has colours as 8-bit sRGB, the nearest", () => {
    expect(of(', background: { colour: "#fef1a0" }')).toMatchObject({ background: { rgb: [254, 241, 160] } });
    expect(of(', flat: { colours: ["#102030", "#a0b0c0"] }')).toMatchObject({
      background: undefined,
      flat: {
        colours: [
          [16, 32, 48],
          [160, 176, 192],
        ],
      },
    });
  });

  it("is smoothing or squares alone too", () => {
    expect(of(", smooth: 12")).toEqual({ smooth: 12, background: undefined, flat: undefined });
    const squares = of("", { plates: "  a: { ink: ember, extract: { index: squares } }\n", order: "a" });
    expect(Object.keys(squares!).sort()).toEqual(["background", "flat", "index", "smooth"]);
  });
});

describe("artwork that is made of plates", () => {
  const recipe = () => {
    const plain = recipeOf({ more: "  light: { garments: [white], order: [ember] }\n" });
    return { ...plain, artwork: { ...plain.artwork, madeOf: "base" } };
  };

  it("is the first setup on its first garment", () => {
    const { conditions, stations } = separationPlan(recipe()).composite!;
    const job = recipe();
    expect(conditions).toEqual(printConditions(job, job.setups.get("dark")!, "black"));
    expect(stations.map(({ plate }) => plate)).toEqual(["base", "ember"]);
  });

  it("is none without a setup, and no other artwork is", () => {
    expect(separationPlan({ ...recipe(), setups: new Map() }).composite).toBeUndefined();
    expect(separationPlan(recipeOf({})).composite).toBeUndefined();
  });
});
