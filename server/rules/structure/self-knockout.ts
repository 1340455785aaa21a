import { listOf } from "../../language/reading.ts";
import type { Rule } from "../rule.ts";

/** A plate knocked out of itself would lose its solid parts. */
export const selfKnockout: Rule = {
  id: "self-knockout",
  level: "error",
  why: "A plate knocked out where it prints itself loses its solids and keeps only its edges.",
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
