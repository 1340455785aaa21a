import { expect, it } from "vitest";
import { parseDocument } from "../../server/language/document.ts";
import { heldNumbers } from "../../server/language/held.ts";
import { resolveRecipe } from "../../server/language/resolve-recipe.ts";
import { tunableNumbers, tunablePlates } from "../../server/language/tunable.ts";

const RECIPE = `recipe: 1
artwork: { file: a.png, width: 2 in }
garments: { black: { colour: "#17171a" } }
inks:
  white: { colour: "#f8f8f4", opacity: 92% }
  ember: { colour: "#d8431f", opacity: 70% }
plates:
  base: { ink: white, purpose: underbase, extract: { artwork: opaque } }
  ember:
    ink: ember
    extract:
      hue: [350, 50]
      chroma: [15, 130]
      any: [{ near: "#d8431f", within: 10 }, { lightness: [20, 90] }]
      fade: { hue: 12, chroma: 8 }
    strength: { lightness: [[0, 100], [90, 40]] }
  glow: { ink: ember, extract: { solve: jointly } }
adjust:
  - { plate: ember, curve: [[0, 0], [40, 55], [100, 100]] }
setups:
  dark: { garments: [black], order: [base, ember] }
`;

function numbersOf(text: string, strengths = false) {
  const doc = parseDocument("a.sep.yaml", text);
  const recipe = resolveRecipe(doc);
  const all = tunableNumbers(recipe, new Set(tunablePlates(recipe)), heldNumbers(doc, recipe), strengths);
  return all.map((number) => ({ ...number, at: number.path.slice(2).join(".") }));
}
const paths = (text: string) => numbersOf(text).map(({ path }) => path.join("."));

it("are the ends and fades of ranges, reaches, and what curves give where there is ink", () => {
  expect(paths(RECIPE)).toEqual([
    "plates.ember.extract.fade.chroma",
    "plates.ember.extract.chroma.0",
    "plates.ember.extract.chroma.1",
    "plates.ember.extract.fade.hue",
    "plates.ember.extract.hue.0",
    "plates.ember.extract.hue.1",
    "plates.ember.extract.any.0.within",
    "plates.ember.extract.any.1.lightness.0",
    "plates.ember.extract.any.1.lightness.1",
    "plates.ember.strength.lightness.0.1",
    "plates.ember.strength.lightness.1.1",
    "adjust.0.curve.1.1",
    "adjust.0.curve.2.1",
  ]);
});

it("keep the ends of a range and a rising curve in their order", () => {
  const numbers = numbersOf(RECIPE);
  const named = (at: string) => numbers.findIndex((number) => number.at === at);
  expect(numbers[named("extract.chroma.0")]?.under).toBe(named("extract.chroma.1"));
  expect(numbers[named("extract.chroma.1")]?.over).toBe(named("extract.chroma.0"));
  expect(numbers[named("extract.hue.0")]?.turn).toEqual({ other: named("extract.hue.1"), lower: true });
  expect(numbers[named("curve.1.1")]?.under).toBe(named("curve.2.1"));
});

it("bring curves of strength to plates that print flat, where they are asked for", () => {
  const added = numbersOf(RECIPE, true).filter((number) => number.added !== undefined);
  expect(added.filter(({ plate }) => plate === "base").map(({ added }) => added)).toEqual([
    10, 40, 70, 95, 5, 40, 80,
  ]);
  // Ember has one over lightness, and none over chroma.
  expect(added.filter(({ plate }) => plate === "ember").map(({ added }) => added)).toEqual([5, 40, 80]);
});

it.each([
  [
    "at the end of a line, those of the line",
    ["chroma: [15, 130]", "chroma: [15, 130] # fixed"],
    ["extract.chroma.0", "extract.chroma.1"],
  ],
  [
    "on a line of its own, those of the next part",
    ["      fade:", "      # fixed: as proofed\n      fade:"],
    ["extract.fade.chroma", "extract.fade.hue"],
  ],
  ["above a plate, all of it", ["  ember:\n", "  # fixed\n  ember:\n"], [/^extract|^strength/]],
  [
    "a lesson",
    ["[100, 100]] }", "[100, 100]], lesson: { date: 2026-03-14, because: too weak } }"],
    [/^curve/],
  ],
])("a comment holds %s", (_, [from, to], held) => {
  const text = RECIPE.replace(from!, to!);
  const left = new Set(numbersOf(text).map(({ at }) => at));
  const gone = numbersOf(RECIPE)
    .map(({ at }) => at)
    .filter((at) => !left.has(at));
  const expected = numbersOf(RECIPE)
    .map(({ at }) => at)
    .filter((at) => held.some((one) => (typeof one === "string" ? one === at : one.test(at))));
  expect(gone).toEqual(expected);
  expect(gone.length).toBeGreaterThan(0);
});

it("a comment that only speaks of it holds nothing", () => {
  expect(paths(RECIPE.replace("fade: {", "fade: { # not fixed yet\n        "))).toEqual(paths(RECIPE));
});
