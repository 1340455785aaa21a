import { DEFAULT_WET_LAYERS } from "../../language/recipe.ts";
import { counted } from "../../language/words.ts";
import type { JobRule } from "../rule.ts";
import { yaml } from "../yaml.ts";

/** Ink on wet ink goes well only so often. */
export const wetLayers: JobRule = {
  id: "wet-layers",
  looksAt: "job",
  level: "warning",
  why: "Each screen lifts some of the wet ink below; after too many the dots smear and the colours turn muddy.",
  source: "The shop's own limit, else 8: common practice, no source.",
  example: {
    fails: yaml`
      press: { stations: 10, flashes: 2, wet-layers: 2 }
    `,
    passes: yaml`
      press: { stations: 10, flashes: 2, wet-layers: 2 }
      setups:
        dark: { garments: [black], order: [base, flash, ember, black, flash, glint] }
    `,
  },
  *check(recipe) {
    const most = recipe.press?.wetLayers ?? DEFAULT_WET_LAYERS;
    for (const [name, { order }] of recipe.setups) {
      let wet = 0;
      for (const [i, step] of order.entries()) {
        if (step === "flash") wet = 0;
        else if (step !== "cool-down") wet++;
        if (wet !== most + 1) continue;
        yield {
          path: ["setups", name, "order", i],
          message: `this is wet layer ${wet} since the last flash, and ${counted(most, "layer")} is the limit; flash before it`,
          data: { add: { list: ["setups", name, "order"], index: i, text: "flash" } },
        };
        break;
      }
    }
  },
};
