import { describe, expect, it } from "vitest";
import { extractionChanges, extractionText } from "../../../server/language/changes/extraction.ts";
import { artworkChanges } from "../../../server/language/changes/job.ts";
import { parseDocument } from "../../../server/language/document.ts";
import type { Recipe } from "../../../server/language/recipe.ts";
import { resolveRecipe } from "../../../server/language/resolve-recipe.ts";
import { soundBut } from "../documents.ts";

describe("a plate from a file, in a review", () => {
  it.each([
    [{ hue: [350, 50] }, { plate: "ember.tif" }, ["now from ember.tif", "no longer held to hue 350–50"]],
    [
      { plate: "ember.tif" },
      { artwork: "opaque" },
      ["no longer from ember.tif", "now takes all that the artwork covers"],
    ],
    [{ plate: "a.tif" }, { plate: "b.tif" }, ["file a.tif → b.tif"]],
    [
      { plate: "a.pdf", colorant: "Ember" },
      { plate: "a.pdf", colorant: "Slate", page: 2 },
      ["colorant Ember → Slate", "page not said → 2"],
    ],
    [{ plate: "a.tif" }, { plate: "a.tif", solid: "white" }, ["solid ink as the file says → white"]],
    [{ plate: "a.tif" }, { plate: "a.tif", screened: true }, ["now a film, taken as it is"]],
    [
      { plate: "a.tif", screened: true },
      { plate: "a.tif", screened: false },
      ["no longer a film, so it is screened"],
    ],
    [{ plate: "a.tif", screened: false }, { plate: "a.tif" }, []],
  ] as const)("%j to %j is told", (before, after, said) => {
    const plain = (e: unknown) => structuredClone(e) as Parameters<typeof extractionText>[0];
    expect(extractionChanges(plain(before), plain(after))).toEqual(said);
  });

  it("is said in words where it is new", () => {
    expect(
      extractionText({ plate: "a.pdf", colorant: "Ember", page: 3, solid: "white", screened: true }),
    ).toBe("a film from a.pdf, colorant Ember, page 3, white solid");
  });
});

it("an artwork that is made of its plates, or no longer, is told", async () => {
  const recipe = (artwork: string) => {
    const text = soundBut("file: art.png", artwork).replace("{ artwork: opaque }", "{ plate: base.png }");
    return resolveRecipe(
      parseDocument("a.sep.yaml", text.replace("{ hue: [350, 50] }", "{ plate: ember.png }")),
    );
  };
  const [picture, made] = [recipe("file: art.png"), recipe("made-of: plates")];
  const said = (before: Recipe, after: Recipe) => artworkChanges(before, after).map(({ text }) => text);
  expect(said(picture, made)).toEqual(["now what its plates print"]);
  expect(said(made, picture)).toEqual(["now the picture art.png"]);
  expect(said(made, made)).toEqual([]);
});
