import { expect, it } from "vitest";
import { changesBetween } from "../../../server/language/changes/changes.ts";
import { gainChange } from "../../../server/language/changes/screening.ts";
import { parseDocument } from "../../../server/language/document.ts";
import { resolveRecipe } from "../../../server/language/resolve-recipe.ts";

const table = [
  [0, 0],
  [0.5, 0.66],
  [1, 1],
] as const;

it("a table that is meant otherwise is told, though its numbers stand", () => {
  expect(gainChange({ table }, { table, toneValue: "spot-colour" })).toBe(
    "printed tones now measured as spot colour tone values",
  );
  expect(gainChange({ table, toneValue: "spot-colour" }, { table, toneValue: "murray-davies" })).toBe(
    "printed tones now measured by Murray–Davies",
  );
  expect(gainChange({ table }, { table })).toBeUndefined();
});

const process = (more: string) => {
  const plates = ["cyan", "magenta", "yellow", "black"];
  const text = `recipe: 1
artwork: { file: a.png, width: 4 in }
garments: { white: { colour: "#f4f3ef" } }
inks: { ink: { colour: "#131316", opacity: 97% } }
plates:
${plates.map((name) => `  ${name}: { ink: ink, extract: { solve: jointly } }`).join("\n")}
${more}
setups: { light: { garments: [white], order: [${plates.join(", ")}] } }
`;
  return resolveRecipe(parseDocument("a.sep.yaml", text));
};
const PROCESS = "process: { cyan: cyan, magenta: magenta, yellow: yellow, black: black }";

it("process colour is told, with its black generation and the angles that it brings", () => {
  const curve = PROCESS.replace(" }", ", black-generation: [[0, 0], [100, 80]] }");
  const said = (before: string, after: string) =>
    changesBetween(process(before), process(after)).map(({ subject, text }) => `${subject}: ${text}`);
  expect(said("", PROCESS)).toEqual([
    "cyan: angle 22.5 → 27.5°",
    "magenta: angle 22.5 → 72.5°",
    "yellow: angle 22.5 → 5°",
    "black: angle 22.5 → 50°",
    "process: now process colour, black from black",
  ]);
  expect(said(PROCESS, curve)).toEqual(["process: black generation 0→0, 20→0, 100→100 is now 0→0, 100→80"]);
});
