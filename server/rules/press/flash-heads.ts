import { counted } from "../../language/words.ts";
import type { JobRule } from "../rule.ts";
import { yaml } from "../yaml.ts";

/** A flash in the order needs a flash unit on the press. */
export const flashHeads: JobRule = {
  id: "flash-heads",
  looksAt: "job",
  level: "warning",
  why: "A flash without a flash unit leaves the ink wet, and the next screen picks it up.",
  source: "Follows from the press's own figures.",
  example: {
    fails: yaml`
      press: { stations: 10, flashes: 1 }
      setups:
        dark: { garments: [black], order: [base, flash, ember, flash, black, glint] }
    `,
    passes: yaml`
      press: { stations: 10, flashes: 2 }
      setups:
        dark: { garments: [black], order: [base, flash, ember, flash, black, glint] }
    `,
  },
  *check(recipe) {
    const { press } = recipe;
    if (!press) return;
    for (const [name, { order }] of recipe.setups) {
      const flashes = order.flatMap((step, i) => (step === "flash" ? [i] : []));
      const first = flashes[press.flashes];
      if (first === undefined) continue;
      yield {
        path: ["setups", name, "order", first],
        message: `this is flash ${press.flashes + 1} and the shop has ${counted(press.flashes, "flash unit")}; take one out, or group the plates that need one`,
        data: { redundant: ["setups", name, "order", first] },
      };
    }
  },
};
