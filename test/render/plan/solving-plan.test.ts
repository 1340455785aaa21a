import { describe, expect, it } from "vitest";
import { printConditions } from "../../../server/render/plan/print-plan.ts";
import { separationPlan } from "../../../server/render/plan/separation-plan.ts";
import { solvedFor } from "../../../server/render/plan/solving-plan.ts";
import { recipeOf } from "../jobs.ts";

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

  it("knows the plates of process colours, and how much grey black takes over, as tones", () => {
    const plates = ["sky", "pink", "sun", "night"]
      .map((name) => `  ${name}: { ink: ember, extract: { solve: jointly } }\n`)
      .join("");
    const process = "cyan: sky, magenta: pink, yellow: sun, black: night";
    const of = (more: string) =>
      separationPlan(recipeOf({ plates, order: "sun, sky, pink, night", more })).solving!.process;
    expect(of(`process: { ${process}, black-generation: [[0, 0], [40, 10], [100, 95]] }\n`)).toEqual({
      chromatic: ["sky", "pink", "sun"],
      black: "night",
      blackGeneration: [
        [0, 0],
        [0.4, 0.1],
        [1, 0.95],
      ],
    });
    expect(of("")).toBeUndefined();
  });

  it("has the underbase named by its purpose, and no garment that no setup prints on", () => {
    expect(solved("solve: { garments: { white: 1 } }\n")).toBeUndefined();
    expect(
      solvedFor(recipeOf({ plates: SOLVED, more: "solve: { garments: { white: 1 } }\n" })),
    ).toBeUndefined();
  });
});
