import { listOf } from "../../language/reading.ts";
import { parseLength } from "../../language/values/length.ts";
import type { Rule } from "../rule.ts";

/** More than this is no trap but a slip of the unit; it would also take seconds to compute. */
export const LARGEST_TRAP_MM = 5;

/** Chokes and spreads are fractions of a millimetre. */
export const trapDistance: Rule = {
  id: "trap-distance",
  level: "error",
  why: "A choke of centimetres eats the plate; the unit was meant to be another.",
  *check({ doc }) {
    for (const list of ["knockouts", "traps"]) {
      for (const [i, fields] of listOf(doc.value, list)) {
        for (const key of ["choke", "spread"]) {
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
