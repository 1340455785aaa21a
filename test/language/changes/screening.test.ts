import { expect, it } from "vitest";
import { gainChange } from "../../../server/language/changes/screening.ts";

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
