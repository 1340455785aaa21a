import { blocksOf } from "../../language/reading.ts";
import type { Rule } from "../rule.ts";

/**
 * An ink of the recipe's own that no plate prints. The shop's shelf may hold what it likes. Silent while a plate
 * has no ink that exists: then any of the unused may be meant.
 */
export const unusedInk: Rule = {
  id: "unused-ink",
  level: "note",
  why: "An ink that no plate prints makes the reader of the recipe look for it on the press.",
  *check({ doc, symbols, shop }) {
    const known = new Set(
      [...symbols.definitions, ...(shop?.symbols.definitions ?? [])].map(
        ({ kind, name }) => `${kind} ${name}`,
      ),
    );
    if (blocksOf(doc.value, "plates").some(([, { ink }]) => !known.has(`ink ${ink}`))) return;
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
