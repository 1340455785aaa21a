import { listOf } from "../../language/partial-data.ts";
import type { RecipeRule } from "../rule.ts";
import { yaml } from "../yaml.ts";

/** A plate knocked out of itself would lose its solid parts. */
export const selfKnockout: RecipeRule = {
  id: "self-knockout",
  looksAt: "recipe",
  level: "error",
  fixed: true,
  why: "A plate knocked out where it prints itself loses its solids and keeps only its edges.",
  source: "Follows from the format.",
  example: {
    fails: yaml`
      knockouts:
        - { from: base, where: base }
    `,
    passes: yaml`
      knockouts:
        - { from: base, where: black, choke: 0.4 mm }
    `,
  },
  *check({ doc }) {
    for (const [i, { from, where }] of listOf(doc.value, "knockouts")) {
      if (typeof from !== "string" || from !== where) continue;
      yield {
        path: ["knockouts", i, "where"],
        message: `"${from}" would be knocked out of itself; name the plate that prints in its place`,
        data: { redundant: ["knockouts", i] },
      };
    }
  },
};
