import { listOf } from "../../language/partial-data.ts";
import type { RecipeRule } from "../rule.ts";
import { yaml } from "../yaml.ts";

/** A folded plate has no screen: it can be neither printed nor trapped nor knocked out, nor folded again. */
export const foldedPlate: RecipeRule = {
  id: "folded-plate",
  looksAt: "recipe",
  level: "error",
  fixed: true,
  why: "A plate folded into another has no screen of its own, so nothing can be printed from it.",
  source: "Follows from the format.",
  example: {
    fails: yaml`
      merges:
        - { fold: glint, into: ember }
    `,
    passes: yaml`
      merges:
        - { fold: glint, into: ember }
      setups:
        dark: { garments: [black], order: [base, flash, ember, black] }
    `,
  },
  *check({ doc, symbols }) {
    const into = new Map<string, string>();
    for (const [i, { fold, into: target }] of listOf(doc.value, "merges")) {
      if (typeof fold !== "string" || typeof target !== "string") continue;
      if (into.has(fold)) {
        yield {
          path: ["merges", i, "fold"],
          message: `"${fold}" is already folded into "${into.get(fold)}"; a plate goes into one other only`,
          data: { redundant: ["merges", i] },
        };
      } else {
        into.set(fold, target);
      }
    }
    for (const { name, path } of symbols.references) {
      const place = PLACES[String(path[0])];
      if (!place || (path[0] === "setups") !== (path.at(-2) === "order") || !into.has(name)) continue;
      yield {
        path,
        message: `"${name}" is folded into "${into.get(name)}" and has no screen of its own; ${place} "${into.get(name)}", or take the merge out`,
      };
    }
  },
};

const PLACES: Readonly<Record<string, string>> = {
  setups: "print",
  knockouts: "name",
  traps: "trap",
};
