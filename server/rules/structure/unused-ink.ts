import { blocksOf } from "../../language/partial-data.ts";
import type { RecipeRule } from "../rule.ts";
import { yaml } from "../yaml.ts";

/**
 * An ink of the recipe's own that no plate prints. The shop's ink library may hold what it likes. Silent while a plate
 * has no ink that exists: then any of the unused may be meant.
 */
export const unusedInk: RecipeRule = {
  id: "unused-ink",
  looksAt: "recipe",
  level: "note",
  why: "An ink that no plate prints makes the reader of the recipe look for it on the press.",
  source: "Follows from the format.",
  example: {
    fails: yaml`
      inks:
        white: { colour: "#f8f8f4", opacity: 92% }
        ember: { colour: "#d8431f", opacity: 70% }
        black: { colour: "#131316", opacity: 97% }
        slate: { colour: "#7b8088", opacity: 70% }
    `,
    passes: yaml`
      inks:
        white: { colour: "#f8f8f4", opacity: 92% }
        ember: { colour: "#d8431f", opacity: 70% }
        black: { colour: "#131316", opacity: 97% }
    `,
  },
  *check({ doc, symbols, shop }) {
    const known = new Set(
      [...symbols.definitions, ...(shop?.symbols.definitions ?? [])].map(
        ({ kind, name }) => `${kind} ${name}`,
      ),
    );
    const stray = (ink: unknown) => typeof ink !== "string" || !known.has(`ink ${ink}`);
    if (blocksOf(doc.value, "plates").some(([, { ink }]) => stray(ink))) return;
    const used = new Set(symbols.references.filter(({ kind }) => kind === "ink").map(({ name }) => name));
    for (const [name] of blocksOf(doc.value, "inks")) {
      if (used.has(name)) continue;
      const path = ["inks", name];
      yield {
        path,
        part: "key",
        message: `no plate prints ink "${name}"; give it to a plate, or take it out`,
        data: { redundant: path },
      };
    }
  },
};
