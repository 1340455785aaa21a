import { describe, expect, it } from "vitest";
import { printedTone } from "../../../server/engine/print/gain.ts";
import { DEFAULT_MISREGISTRATION_MM } from "../../../server/language/recipe.ts";
import { printConditions, printStations } from "../../../server/render/plan/print-plan.ts";
import { recipeOf } from "../jobs.ts";

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
