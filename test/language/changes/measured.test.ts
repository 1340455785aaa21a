import { expect, it } from "vitest";
import { inkChanges } from "../../../server/language/changes/plates.ts";
import { recipeOf } from "../../render/jobs.ts";

const inked = (measured: object | undefined) => {
  const recipe = recipeOf({});
  const ember = { ...recipe.inks.get("ember")!, ...(measured && { measured }) };
  return { ...recipe, inks: new Map([...recipe.inks, ["ember", ember]]) } as typeof recipe;
};

it("an ink that was measured anew says when and from what, and prints nothing by that", () => {
  const before = inked(undefined);
  const after = inked({ date: "2026-03-14", from: "r.txt", mesh: "colour" });
  expect(inkChanges(before, after)).toEqual([
    {
      subject: "ink ember",
      plates: ["ember"],
      text: "measured 2026-03-14 from r.txt, on mesh colour",
      prints: false,
    },
  ]);
  expect(inkChanges(after, after)).toEqual([]);
});
