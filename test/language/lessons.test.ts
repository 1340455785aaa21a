import { describe, expect, it } from "vitest";
import { parseDocument } from "../../server/language/document.ts";
import { lessonsOf, lessonText } from "../../server/language/lessons.ts";
import { resolveRecipe } from "../../server/language/resolve-recipe.ts";
import { validate } from "../../server/language/validate.ts";

const RECIPE = `recipe: 1
artwork: { file: a.png, width: 1 in }
garments: { black: { colour: "#111" } }
inks:
  ember:
    colour: "#d8431f"
    opacity: 70%
    gain: [[0, 0], [50, 70], [100, 100]]
    lesson: { date: 2026-02-01, because: ember fills in }
  unused: { colour: "#fff", opacity: 70%, lesson: { date: 2026-02-01, because: nobody asks } }
  leaf: { colour: "#0a0", opacity: 70% }
plates:
  ember: { ink: ember, extract: { hue: [0, 60] } }
  leaf: { ink: leaf, extract: { hue: [90, 160] } }
adjust:
  - { plate: leaf, curve: [[0, 0], [100, 90]], lesson: { date: 2026-03-14, because: leaf ran dark } }
screening:
  gain: [[0, 0], [50, 60], [100, 100]]
  lesson: { date: 2026-01-05, because: wedge of the winter }
setups: { dark: { garments: [black], order: [ember, leaf] } }
`;
const recipe = () => resolveRecipe(parseDocument("job.sep.yaml", RECIPE));

describe("lessons of test prints", () => {
  it("are known by what they are about and what they reach", () => {
    expect(lessonsOf(recipe())).toEqual([
      { date: "2026-03-14", because: "leaf ran dark", about: "leaf", plates: ["leaf"] },
      { date: "2026-02-01", because: "ember fills in", about: "ink ember", plates: ["ember"] },
      { date: "2026-01-05", because: "wedge of the winter", about: "dot gain", plates: ["leaf"] },
    ]);
  });

  it("are those of some plates, for a sheet that prints these", () => {
    expect(lessonsOf(recipe(), new Set(["ember"])).map(lessonText)).toEqual(["2026-02-01: ember fills in"]);
  });

  it.each([
    ["14.3.2026", "is not a day"],
    ["2026-02-30", "is in no calendar"],
  ])("refuse %s", (date, problem) => {
    const doc = parseDocument("job.sep.yaml", RECIPE.replace("2026-03-14", date));
    expect(validate(doc).map(({ message }) => message)).toEqual([expect.stringContaining(problem)]);
    expect(validate(parseDocument("job.sep.yaml", RECIPE))).toEqual([]);
  });
});
