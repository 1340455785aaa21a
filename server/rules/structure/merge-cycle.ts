import { listOf } from "../../language/partial-data.ts";
import type { RecipeRule } from "../rule.ts";
import { yaml } from "../yaml.ts";

/** Folding must end at a plate that has a screen. */
export const mergeCycle: RecipeRule = {
  id: "merge-cycle",
  looksAt: "recipe",
  level: "error",
  fixed: true,
  why: "Plates folded into one another in a ring leave none of them a screen.",
  source: "Follows from the format.",
  example: {
    fails: yaml`
      merges:
        - { fold: ember, into: glint }
        - { fold: glint, into: ember }
      setups:
        dark: { garments: [black], order: [base, flash, black] }
    `,
    passes: yaml`
      merges:
        - { fold: ember, into: glint }
      setups:
        dark: { garments: [black], order: [base, flash, black, glint] }
    `,
  },
  *check({ doc }) {
    const merges = listOf(doc.value, "merges").filter(([, { fold }]) => typeof fold === "string");
    const into = new Map(merges.map(([, { fold, into }]) => [fold, into]));
    const reported = new Set<unknown>();
    for (const [i, { fold }] of merges) {
      const ring = ringFrom(fold, into);
      if (!ring || reported.has(fold)) continue;
      for (const name of ring) reported.add(name);
      yield {
        path: ["merges", i, "into"],
        message:
          ring.length === 1
            ? `"${fold}" is folded into itself; name another plate`
            : `plates are folded in a ring: ${shown(ring)} → ${fold}; take one of these merges out`,
        data: { redundant: ["merges", i] },
      };
    }
  },
};

/** The first names of a ring. */
function shown(ring: readonly unknown[]): string {
  return [...ring.slice(0, 20), ...(ring.length > 20 ? ["…"] : [])].join(" → ");
}

function ringFrom(start: unknown, into: ReadonlyMap<unknown, unknown>): unknown[] | undefined {
  const ring = new Set<unknown>();
  let name = start;
  while (into.has(name) && !ring.has(name)) {
    ring.add(name);
    name = into.get(name);
  }
  return ring.size > 0 && name === start ? [...ring] : undefined;
}
