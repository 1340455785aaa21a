import { expect, it } from "vitest";
import { changesBetween, sentence } from "../../../server/language/changes/changes.ts";
import { parseDocument } from "../../../server/language/document.ts";
import { resolveRecipe } from "../../../server/language/resolve-recipe.ts";
import { SOUND } from "../documents.ts";

const choked = (distance: string) =>
  resolveRecipe(parseDocument("a.sep.yaml", `${SOUND}traps:\n  - { plate: base, choke: ${distance} }\n`));
const said = (before: string, after: string) => changesBetween(choked(before), choked(after)).map(sentence);

it("a distance is told as it is written", () => {
  expect(said("0.1 mm", "0.25 mm")).toEqual(["base: choke 0.1 → 0.25 mm"]);
  expect(said("0.125 mm", "0.3 mm")).toEqual(["base: choke 0.125 → 0.3 mm"]);
});
