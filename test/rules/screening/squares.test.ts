import { describe, expect, it } from "vitest";
import { changesBetween } from "../../../server/language/changes/changes.ts";
import { resolveRecipe } from "../../../server/language/resolve-recipe.ts";
import { proofDifference } from "../../../server/render/proof-meter.ts";
import { indexedPlate } from "../../../server/rules/structure/indexed-plate.ts";
import { findingsOf, jobWith } from "../example.ts";
import { type Drawn, messages, printOf } from "../printed.ts";

const job = (more: string, extract = "{ index: squares }") => `artwork: { file: a.png, width: 20 mm }
garments: { white: { colour: "#f4f3ef" } }
meshes: { fine: { count: 225/in } }
usual-mesh: { colour: fine, shadow: fine }
traps: []
knockouts: []
plates:
  ember: { ink: ember, extract: ${extract} }
  black: { ink: black, purpose: shadow, extract: { index: squares } }
setups:
  light: { garments: [white], order: [ember, black] }
${more}`;

const plain = (v: number): Drawn => ({ width: 120, height: 120, at: () => [v, v, v] });

const recipeOf = (text: string) => {
  const { main, shop } = jobWith(text);
  return resolveRecipe(main, shop);
};

describe("lone-squares", () => {
  it("speaks of a plate whose squares mostly stand alone", async () => {
    const [message] = await messages("lone-squares", job(""), plain(228));
    expect(message).toMatch(
      /^\d+ % of the squares of black stand alone and are lost first on press; take a coarser grid, or an ink nearer to the artwork$/,
    );
  });

  it("is silent of the ink's own colour", async () => {
    expect(await messages("lone-squares", job(""), plain(19))).toEqual([]);
  });
});

describe("an index separation", () => {
  it("leaves nothing to be told where squares mix", async () => {
    expect(await messages("unprinted-artwork", job(""), plain(120))).toEqual([]);
  });

  it("takes 1.5 threads of the coarsest mesh to a square, from 120 to 200 an inch", () => {
    const perInch = (mesh: string) => 25.4 / recipeOf(job("").replace("225/in", mesh)).index.squareMm;
    expect(perInch("225/in")).toBeCloseTo(150, 9);
    expect(perInch("86/in")).toBeCloseTo(120, 9);
    expect(perInch("355/in")).toBeCloseTo(200, 9);
    expect(25.4 / recipeOf(job("index: { grid: 0.2 mm }")).index.squareMm).toBeCloseTo(127, 9);
  });

  it("prints one ink or none at every pixel, through all stages", async () => {
    const print = await printOf(job("traps:\n  - { neighbours: 0.1 mm }"), {
      width: 100,
      height: 100,
      at: (x, y) => [2 * x + 30, 2 * y, 90],
    });
    const [ember, black] = [...print.plates.values()];
    const sums = new Set(ember!.tones.map((tone, i) => tone + black!.tones[i]!));
    expect(sums).toEqual(new Set([0, 255]));
    expect(new Set(ember!.tones).size + new Set(black!.tones).size).toBe(4);
  });

  it("is compared with the artwork in windows, where squares mix", async () => {
    const print = await printOf(job(""), plain(120));
    const rgb = print.proof("white", "light");
    const { mean, windowMm } = proofDifference(
      print.recipe,
      print.recipe.setups.get("light")!,
      "white",
      print.artwork,
      rgb,
    );
    expect(windowMm).toBeCloseTo(8 * (20 / 120), 6);
    // Squares are black, red or bare, each far from grey.
    expect(mean).toBeLessThan(3);
  });

  it("stands alone under extract, and is its own plate's", () => {
    const said = (text: string) =>
      findingsOf(text)
        .filter(({ rule }) => rule === indexedPlate.id)
        .map(({ message }) => message);
    expect(said(job("", "{ index: squares, hue: [0, 60] }"))).toEqual([
      "Hue stands beside index, whose squares are shared out by colour alone; take it out",
    ]);
    expect(said(job("", "{ any: [{ index: squares }] }"))).toEqual([
      "Index stands directly under extract, and alone",
    ]);
    expect(said(job("merges:\n  - { fold: black, into: ember }"))[0]).toContain(
      "is folded with another plate",
    );
  });

  it("tells a review what changed, once for all plates", () => {
    const said = (before: string, after: string) =>
      changesBetween(recipeOf(job(before)), recipeOf(job(after))).map(
        ({ subject, text }) => `${subject}: ${text}`,
      );
    expect(
      said("index: { grid: 150/in }", "index: { grid: 120/in, dither: blue-noise, grow: 0.01 mm }"),
    ).toEqual([
      "index: grid 150 → 120/in",
      "index: dither diffusion → blue-noise",
      "index: squares grow by 0 → 0.01 mm",
    ]);
    const [change] = changesBetween(recipeOf(job("", "{ hue: [0, 60] }")), recipeOf(job("")));
    expect(change!.text).toContain("now indexed, in squares");
  });
});
