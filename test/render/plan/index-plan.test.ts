import { describe, expect, it } from "vitest";
import { linearFromLab } from "../../../server/engine/colour/cielab.ts";
import { indexedPlates, indexPlan, mixesSquares } from "../../../server/render/plan/index-plan.ts";
import { platePlan } from "../../../server/render/plan/plate-plan.ts";
import { recipeOf } from "../jobs.ts";

const PLATES = `  base: { ink: white, purpose: underbase, extract: { artwork: opaque } }
  ember: { ink: ember, extract: { index: squares } }
  gloss: { ink: white, extract: { artwork: opaque } }
  blaze: { ink: ember, extract: { index: squares } }
  spare: { ink: ember, extract: { index: squares } }
`;
const squares = (order: string, more = "") => recipeOf({ plates: PLATES, order, more });
const ORDER = "base, flash, blaze, ember, gloss";

describe("an index separation's plan", () => {
  it("numbers the plates that print, in the recipe's order", () => {
    const recipe = squares(ORDER);
    expect(indexedPlates(recipe).map(({ name }) => name)).toEqual(["ember", "blaze"]);
    const strengths = ["ember", "blaze", "spare"].map(
      (name) => platePlan(recipe.plates.get(name)!, recipe).strength,
    );
    expect(strengths).toEqual([
      { by: "index", colour: 1 },
      { by: "index", colour: 2 },
      { by: "index", colour: 0 },
    ]);
  });

  it("has the solid underbase first, then each ink alone upon it; other plates are not in it", () => {
    const recipe = squares(ORDER);
    const { colours } = indexPlan(recipe)!;
    // Inks that cover wholly look as they are named.
    const [white, ember] = ["white", "ember"].map((name) => linearFromLab(recipe.inks.get(name)!.colour.lab));
    expect(colours).toHaveLength(3);
    for (const [i, look] of [white, ember, ember].entries())
      for (const of of ["r", "g", "b"] as const) expect(colours[i]![of]).toBeCloseTo(look![of], 2);
  });

  it("has the bare garment first where there is no underbase", () => {
    const recipe = squares("ember");
    const { colours } = indexPlan(recipe)!;
    expect(colours).toHaveLength(2);
    expect(colours[0]!.g).toBeCloseTo(linearFromLab(recipe.garments.get("black")!.colour.lab).g, 4);
  });

  it("has the recipe's squares and dither", () => {
    // 1 in at 0.254 mm a square.
    expect(indexPlan(squares(ORDER, "index: { grid: 100/in, dither: blue-noise }\n"))).toMatchObject({
      across: 100,
      dither: "blue-noise",
    });
  });

  it("is none without a plate of squares in print", () => {
    expect(indexPlan(recipeOf({}))).toBeUndefined();
    expect(indexPlan(squares("base, gloss"))).toBeUndefined();
  });
});

it("a setup mixes squares where one of its plates is of squares", () => {
  const recipe = squares(ORDER, "  light: { garments: [white], order: [base, flash, gloss] }\n");
  expect([...recipe.setups.values()].map((setup) => mixesSquares(recipe, setup))).toEqual([true, false]);
});
