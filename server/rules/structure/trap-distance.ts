import { listOf } from "../../language/partial-data.ts";
import { parseLength } from "../../language/values/length.ts";
import type { RecipeRule } from "../rule.ts";
import { yaml } from "../yaml.ts";

/** More than this is no trap but a slip of the unit; it would also take seconds to compute. */
export const LARGEST_TRAP_MM = 5;

/** Chokes and spreads are fractions of a millimetre. */
export const trapDistance: RecipeRule = {
  id: "trap-distance",
  looksAt: "recipe",
  level: "error",
  fixed: true,
  why: "A choke of centimetres eats the plate; the unit was meant to be another.",
  source: "Follows from the format.",
  example: {
    fails: yaml`
      traps:
        - { plate: base, choke: 2 cm }
    `,
    passes: yaml`
      traps:
        - { plate: base, choke: 0.2 mm }
    `,
  },
  *check({ doc }) {
    for (const list of ["knockouts", "traps"]) {
      for (const [i, fields] of listOf(doc.value, list)) {
        if (fields.neighbours !== undefined && fields.plate !== undefined)
          yield {
            path: [list, i, "plate"],
            message: `neighbours is for all plates; take "plate" out, or write spread and under instead`,
          };
        for (const key of ["choke", "spread", "neighbours"]) {
          const text = fields[key];
          const length = typeof text === "string" ? parseLength(text) : undefined;
          if (!length?.ok || length.value <= LARGEST_TRAP_MM) continue;
          yield {
            path: [list, i, key],
            message: `a ${key} of ${text} is more than ${LARGEST_TRAP_MM} mm; 0.1 to 0.5 mm is usual on textile presses`,
          };
        }
      }
    }
  },
};
