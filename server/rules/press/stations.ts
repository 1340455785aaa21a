import { counted, listed } from "../../language/words.ts";
import type { JobRule } from "../rule.ts";
import { yaml } from "../yaml.ts";

/** Everything in an order stands at a station of its own. */
export const stations: JobRule = {
  id: "stations",
  looksAt: "job",
  level: "warning",
  why: "Every screen, flash and cool-down takes a station; what finds none cannot be printed in one turn.",
  source: "Follows from the press's own figures.",
  example: {
    fails: yaml`
      press: { stations: 4, flashes: 1 }
    `,
    passes: yaml`
      press: { stations: 5, flashes: 1 }
    `,
  },
  *check(recipe) {
    const { press } = recipe;
    if (!press) return;
    for (const [name, { order }] of recipe.setups) {
      if (order.length <= press.stations) continue;
      const of = (step: string) => order.filter((at) => at === step).length;
      const parts = [
        counted(order.length - of("flash") - of("cool-down"), "screen"),
        ...(of("flash") > 0 ? [of("flash") === 1 ? "1 flash" : `${of("flash")} flashes`] : []),
        ...(of("cool-down") > 0 ? [counted(of("cool-down"), "cool-down")] : []),
      ];
      yield {
        path: ["setups", name, "order"],
        message: `${listed(parts)} take ${counted(order.length, "station")}, and the press has ${press.stations}; fold a plate into a neighbour, or leave one out`,
      };
    }
  },
};
