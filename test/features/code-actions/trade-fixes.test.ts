import { expect, it } from "vitest";
import { turning } from "../../../server/features/code-actions/trade-fixes.ts";
import { read } from "../model.ts";

const recipe = (screening: string, ember = "") => `recipe: 1
plates:
  base: { ink: white }
  ember: { ink: flame${ember} }
${screening}setups: {}
`;

function turned(text: string, plates: readonly string[]): string {
  const [fix] = turning(read(`${text}|`).model, { plates, angle: 30 });
  return [...fix!.changes]
    .sort((a, b) => b.start - a.start)
    .reduce((now, { start, end, newText }) => now.slice(0, start) + newText + now.slice(end), text);
}

it("turns one plate in its own screening", () => {
  expect(turned(recipe(""), ["ember"])).toBe(recipe("", ", screening: { angle: 30 }"));
  expect(turned(recipe("", ", screening: { ruling: 45 lpi }"), ["ember"])).toBe(
    recipe("", ", screening: { ruling: 45 lpi, angle: 30 }"),
  );
});

it("turns all plates in the recipe's screening, and those that have an angle in their own", () => {
  const own = ", screening: { angle: 0 }";
  expect(turned(recipe("screening: { angle: 0 }\n", own), ["base", "ember"])).toBe(
    recipe("screening: { angle: 30 }\n", own.replace("0", "30")),
  );
  expect(turned(recipe(""), ["base", "ember"])).toBe(recipe("screening: { angle: 30 }\n"));
});
