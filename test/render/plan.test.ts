import { describe, expect, it } from "vitest";
import { chromaOf } from "../../server/engine/colour/cielab.ts";
import { printedTone } from "../../server/engine/print/gain.ts";
import { DEFAULT_MISREGISTRATION_MM } from "../../server/language/recipe.ts";
import { printConditions, printStations, separationPlan, solvedFor } from "../../server/render/plan.ts";
import { recipeOf } from "./jobs.ts";

const extractOf = (extract: string) =>
  separationPlan(recipeOf({ plates: `  a: { ink: ember, extract: ${extract} }\n`, order: "a" })).plates[0]!
    .extract;

describe("what a plate takes, in the engine's terms:", () => {
  it.each([
    ["{ artwork: opaque }", { by: "artwork" }],
    ["{ lightness: [0, 18] }", { by: "lightness", from: 0, to: 18, fade: 0 }],
    ["{ hue: [350, 50], fade: 12 }", { by: "hue", from: 350, to: 50, fade: 12 }],
    ["{ opacity: [50, 100], fade: { opacity: 5, hue: 9 } }", { by: "opacity", from: 50, to: 100, fade: 5 }],
    ["{ chroma: [1, 2], fade: { hue: 9 } }", { by: "chroma", from: 1, to: 2, fade: 0 }],
    [
      "{ near: lab(50 1 2), within: 7, fade: 3 }",
      { by: "near", colour: { L: 50, a: 1, b: 2 }, within: 7, fade: 3 },
    ],
    [
      "{ near: lab(50 1 2), within: 7, fade: { near: 4 } }",
      { by: "near", colour: { L: 50, a: 1, b: 2 }, within: 7, fade: 4 },
    ],
    ["{ near: lab(50 1 2) }", { by: "near", colour: { L: 50, a: 1, b: 2 }, within: 0, fade: 0 }],
    ["{ solve: jointly }", { by: "artwork" }],
    ["{ solve: jointly, hue: [1, 2] }", { by: "hue", from: 1, to: 2, fade: 0 }],
    ["{ except: { artwork: opaque } }", { by: "except", of: { by: "artwork" } }],
    ["{ any: [{ artwork: opaque }] }", { by: "any", of: [{ by: "artwork" }] }],
  ])("%s", (extract, plan) => {
    expect(extractOf(extract)).toEqual(plan);
  });

  it("several conditions must all hold, each with its own fade", () => {
    expect(
      extractOf(
        "{ hue: [10, 20], lightness: [30, 40], artwork: opaque, fade: { hue: 5, lightness: 6 }, all: [{ chroma: [1, 2] }], except: { opacity: [0, 9] } }",
      ),
    ).toEqual({
      by: "all",
      of: [
        { by: "artwork" },
        { by: "lightness", from: 30, to: 40, fade: 6 },
        { by: "hue", from: 10, to: 20, fade: 5 },
        { by: "all", of: [{ by: "chroma", from: 1, to: 2, fade: 0 }] },
        { by: "except", of: { by: "opacity", from: 0, to: 9, fade: 0 } },
      ],
    });
  });

  it("one fade holds for every range beside it, and for none inside", () => {
    expect(extractOf("{ hue: [10, 20], chroma: [1, 2], fade: 3, any: [{ lightness: [4, 5] }] }")).toEqual({
      by: "all",
      of: [
        { by: "chroma", from: 1, to: 2, fade: 3 },
        { by: "hue", from: 10, to: 20, fade: 3 },
        { by: "any", of: [{ by: "lightness", from: 4, to: 5, fade: 0 }] },
      ],
    });
  });
});

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

describe("a setup on the press", () => {
  const MORE = `  light: { garments: [white, black], order: [ember, cool-down, base], yule-nielsen: 1.4 }
screening: { gain: [[0, 0], [50, 60], [100, 100]], compensate: false, smallest-dot: 5% }
`;
  const pressed = () => {
    const recipe = recipeOf({ more: MORE });
    // An ink of its own gain, as a recipe may have it.
    const table = [
      [0, 0],
      [0.5, 0.8],
      [1, 1],
    ] as const;
    const ember = { ...recipe.inks.get("ember")!, gain: { table } };
    return { ...recipe, inks: new Map([...recipe.inks, ["ember", ember]]) };
  };

  it("has its garment, its n, and the films' compensation and smallest dot", () => {
    const recipe = pressed();
    const [dark, light] = [recipe.setups.get("dark")!, recipe.setups.get("light")!];
    const white = recipe.garments.get("white")!.colour.lab;
    expect(printConditions(recipe, light, "white")).toEqual({
      garment: white,
      n: 1.4,
      compensated: false,
      smallestDot: 0.05,
      misregistrationMm: DEFAULT_MISREGISTRATION_MM,
    });
    const press = {
      stations: 8,
      flashes: 1,
      areaMm: undefined,
      screenMm: undefined,
      misregistrationMm: 0.3,
      wetLayers: 8,
      darkPlate: "first" as const,
    };
    expect(printConditions({ ...recipe, press }, light, "white").misregistrationMm).toBe(0.3);
    expect(printConditions(recipe, light, "black").garment).toEqual(recipe.garments.get("black")!.colour.lab);
    expect(printConditions(recipe, dark, "black").n).toBe(dark.yuleNielsen);
    expect(printConditions(recipeOf({}), dark, "black").compensated).toBe(true);
  });

  it("has the stations that print in its order, each with its ink's gain first", () => {
    const recipe = pressed();
    const [dark, light] = [recipe.setups.get("dark")!, recipe.setups.get("light")!];
    const names = (setup: typeof dark) => printStations(recipe, setup).map(({ plate }) => plate);
    expect([names(dark), names(light), names({ ...dark, order: [] })]).toEqual([
      ["base", "ember"],
      ["ember", "base"],
      [],
    ]);
    const [base, ember] = printStations(recipe, dark);
    expect(printedTone(base!.gain!.tones)(0.5)).toBeCloseTo(0.6, 9);
    expect(printedTone(ember!.gain!.tones)(0.5)).toBeCloseTo(0.8, 9);
    expect([base!.ink, ember!.ink]).toEqual([recipe.inks.get("white")!.film, recipe.inks.get("ember")!.film]);
  });

  it("reads a wedge at the setup's own n", () => {
    const grey = (L: number) => ({ L, a: 0, b: 0 });
    const steps = [
      { tone: 0, colour: grey(95) },
      { tone: 0.5, colour: grey(60) },
      { tone: 1, colour: grey(10) },
    ];
    const plain = recipeOf({ more: MORE });
    const recipe = { ...plain, screening: { ...plain.screening, gain: { steps } } };
    const at = (setup: string) =>
      printedTone(printStations(recipe, recipe.setups.get(setup)!)[0]!.gain!.areas!)(0.5);
    // Murray and Davies at n = 1; Yule and Nielsen's areas are smaller the larger their n.
    const light = (L: number) => ((L + 16) / 116) ** 3;
    const area = (n: number) =>
      (light(95) ** (1 / n) - light(60) ** (1 / n)) / (light(95) ** (1 / n) - light(10) ** (1 / n));
    const dark = recipe.setups.get("dark")!.yuleNielsen;
    expect(at("dark")).toBeCloseTo(area(dark), 2);
    expect(at("light")).toBeCloseTo(area(1.4), 2);
    expect(Math.abs(area(1.4) - area(dark))).toBeGreaterThan(0.03);
  });
});

describe("solving", () => {
  const SOLVED = `  base: { ink: white, purpose: underbase, extract: { solve: jointly } }
  ember: { ink: ember, extract: { solve: jointly } }
  rose: { ink: ember, extract: { artwork: opaque } }
`;
  const solved = (more = "", order = "base, flash, ember, rose") =>
    separationPlan(recipeOf({ plates: SOLVED, order, more })).solving;

  it("is asked for where a plate is solved or matched, and not else", () => {
    expect(separationPlan(recipeOf({})).solving).toBeUndefined();
    expect(solved()).toBeDefined();
    const matched = SOLVED.replaceAll("{ solve: jointly }", "{ artwork: opaque }").replace(
      "rose: { ink: ember, extract: { artwork: opaque } }",
      "rose: { ink: ember, extract: { artwork: opaque }, strength: match }",
    );
    expect(separationPlan(recipeOf({ plates: matched, order: "base, ember, rose" })).solving).toBeDefined();
  });

  it("has the stations, wet with each other until a flash, the underbase named, in one garment's terms", () => {
    const { stations, conditions, wetInk, smoothness, halftonePrice, onlyGarment } = solved(
      "solve: { wet-ink: 250%, smoothness: 0.7, halftone-price: 0.4 }\n",
    )!;
    expect(stations.map(({ underbase, wetGroup }) => [underbase, wetGroup])).toEqual([
      [true, 0],
      [false, 1],
      [false, 1],
    ]);
    expect([wetInk, smoothness, halftonePrice, onlyGarment]).toEqual([2.5, 0.7, 0.4, true]);
    const recipe = recipeOf({ plates: SOLVED });
    expect(conditions).toEqual(printConditions(recipe, recipe.setups.get("dark")!, "black"));
    const cooled = solved("", "base, ember, cool-down, rose")!;
    expect(cooled.stations.map(({ wetGroup }) => wetGroup)).toEqual([0, 0, 0]);
  });

  it("is for the garment that is named, in the first setup that prints on it; else for the first of all", () => {
    const more = "  light: { garments: [white], order: [ember] }\n";
    const of = (text: string) => {
      const found = solvedFor(recipeOf({ plates: SOLVED, more: text }))!;
      return [found.garment, found.setup.order.length];
    };
    expect([of(""), of(more), of(`${more}solve: { garment: white }\n`)]).toEqual([
      ["black", 3],
      ["black", 3],
      ["white", 1],
    ]);
    expect(solved(more)!.onlyGarment).toBe(false);
  });

  it("is for several garments where these are named, each in its own setup, by their weights", () => {
    const more = "  light: { garments: [white], order: [ember] }\n";
    const { stations, also } = solved(`${more}solve: { garments: { white: 4, black: 1 } }\n`)!;
    expect(stations.map(({ plate }) => plate)).toEqual(["ember"]);
    const [dark] = also!;
    expect([also!.length, dark.weight, dark.stations.map(({ plate }) => plate)]).toEqual([
      1,
      0.25,
      ["base", "ember", "rose"],
    ]);
    expect(dark.conditions).toEqual(solved(more)!.conditions);
    expect(solved(more)!.also).toEqual([]);
  });
});
