import { expect, it } from "vitest";
import { changesBetween, sentence } from "../../../server/language/changes/changes.ts";
import { parseDocument } from "../../../server/language/document.ts";
import { resolveRecipe } from "../../../server/language/resolve-recipe.ts";
import { SOUND } from "../documents.ts";

const recipe = (width: string, centre: string) =>
  resolveRecipe(
    parseDocument(
      "a.sep.yaml",
      `${SOUND.replace("width: 2 in", `width: ${width}`)}adjust:
  - { plate: ember, region: { ellipse: { centre: ${centre}, radii: [20%, 10%] }, feather: 2% }, curve: [[0, 0], [100, 80]] }
`,
    ),
  );
const said = (before: string, after: string) =>
  changesBetween(recipe("2 in", before), recipe("3 in", after)).map(sentence);

it("a region that grew with the artwork is the same region", () => {
  expect(said("[50%, 40%]", "[50%, 40%]")).toEqual(["artwork: printed width 2 in → 3 in"]);
});

it("one that stayed, or moved besides, is told", () => {
  expect(said("[50%, 40%]", "[60%, 40%]")[1]).toContain("tone curve in an ellipse");
  expect(said("[1 in, 40%]", "[1 in, 40%]")[1]).toContain("now works in an ellipse");
});
