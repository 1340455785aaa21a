import { blocksOf, fieldsOf, listOf } from "../../language/partial-data.ts";
import type { RecipeRule } from "../rule.ts";
import { yaml } from "../yaml.ts";
import { misplaced, solvedFor } from "./solved-plate.ts";

const PRINTED = yaml`
  garments: { white: { colour: "#f4f3ef" } }
  plates:
    ember: { ink: ember, extract: { index: squares } }
    black: { ink: black, purpose: shadow, extract: { index: squares } }
  setups:
    light: { garments: [white], order: [black, ember] }
`;

/** Inks of an index separation share one grid, so each prints by itself, where plates are made for. */
export const indexedPlate: RecipeRule = {
  id: "indexed-plate",
  looksAt: "recipe",
  level: "error",
  fixed: true,
  why: "Each square carries one of the index inks: with a range, a fold, or a setup that lacks one of the plates, some squares would get no ink.",
  source: "Follows from the format.",
  example: { fails: PRINTED.replace("order: [black, ember]", "order: [ember]"), passes: PRINTED },
  *check({ doc }) {
    const merges = listOf(doc.value, "merges");
    const folded = new Set(merges.flatMap(([, { fold, into }]) => [fold, into]));
    const target = solvedFor(doc.value);
    for (const [name, { extract }] of blocksOf(doc.value, "plates")) {
      const path = ["plates", name, "extract"];
      yield* misplaced(extract, path, "index", "index stands directly under extract, and alone");
      const fields = fieldsOf(extract);
      if (fields.index === undefined) continue;
      const at = [...path, "index"];
      const beside = Object.keys(fields).filter((key) => key !== "index");
      if (beside.length > 0) {
        yield {
          path: [...path, beside[0]!],
          part: "key",
          message: `${beside[0]} stands beside index, whose squares are shared out by colour alone; take it out`,
          data: { redundant: [...path, beside[0]!] },
        };
      } else if (folded.has(name)) {
        yield {
          path: at,
          message: `"${name}" is folded with another plate, and its squares are its own ink's; take the merge out`,
        };
      } else if (target && !target.order.includes(name)) {
        yield {
          path: at,
          message: `squares are shared out for "${target.garment}", and setup "${target.setup}" does not print "${name}"; put it into that order`,
        };
      }
    }
  },
};
