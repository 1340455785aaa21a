import type { Path } from "../../language/finding.ts";
import { listOf } from "../../language/partial-data.ts";
import type { RecipeRule, RuleContext } from "../rule.ts";
import { yaml } from "../yaml.ts";

/** A plate that no setup prints is work for nothing, or was forgotten. */
export const unprintedPlate: RecipeRule = {
  id: "unprinted-plate",
  looksAt: "recipe",
  level: "warning",
  why: "A plate that stands in no order is never printed: its part of the artwork will be missing.",
  source: "Follows from the format.",
  example: {
    fails: yaml`
      setups:
        dark: { garments: [black], order: [base, flash, ember, black] }
    `,
    passes: yaml`
      setups:
        dark: { garments: [black], order: [base, flash, ember, black, glint] }
    `,
  },
  *check(context) {
    const folded = new Set(listOf(context.doc.value, "merges").map(([, { fold }]) => fold));
    for (const [name, path] of unused(context, "plate", "order")) {
      if (folded.has(name)) continue;
      yield {
        path,
        part: "key",
        message: `"${name}" is in no setup's order, so it is never printed; add it to an order, fold it into another plate, or take it out`,
      };
    }
  },
};

/** A garment that no setup is for cannot be proofed. */
export const unprintedGarment: RecipeRule = {
  id: "unprinted-garment",
  looksAt: "recipe",
  level: "warning",
  why: "A garment without a setup has no plates and no proof.",
  source: "Follows from the format.",
  example: {
    fails: yaml`
      garments:
        black: { colour: "#17171a" }
        navy: { colour: "#1d2440" }
    `,
    passes: yaml`
      garments:
        black: { colour: "#17171a" }
    `,
  },
  *check(context) {
    for (const [name, path] of unused(context, "garment", "garments")) {
      yield {
        path,
        part: "key",
        message: `no setup prints on "${name}"; add it to a setup's garments, or take it out`,
      };
    }
  },
};

/** Names of one kind that no setup mentions in the list called `key`. */
function* unused({ symbols }: RuleContext, kind: "plate" | "garment", key: string): Iterable<[string, Path]> {
  const used = new Set(
    symbols.references.filter(({ path }) => path[0] === "setups" && path[2] === key).map(({ name }) => name),
  );
  for (const definition of symbols.definitions) {
    if (definition.kind === kind && !used.has(definition.name)) yield [definition.name, definition.path];
  }
}
