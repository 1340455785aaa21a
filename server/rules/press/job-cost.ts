import { counted, listed } from "../../language/words.ts";
import { platesIn, printedPlates } from "../job.ts";
import type { JobRule } from "../rule.ts";
import { yaml } from "../yaml.ts";

/** What the job costs in screens, and in screens swapped between its setups. */
export const jobCost: JobRule = {
  id: "job-cost",
  looksAt: "job",
  level: "note",
  why: "A screen that one setup alone needs costs as much as one that all of them share.",
  source: "Follows from the recipe.",
  example: {
    fails: yaml`
      garments: { black: { colour: "#17171a" }, white: { colour: "#f4f3ef" } }
      setups:
        dark: { garments: [black], order: [base, flash, ember, black, glint] }
        light: { garments: [white], order: [black, ember] }
    `,
    passes: yaml`
      setups:
        dark: { garments: [black], order: [base, flash, ember, black, glint] }
    `,
  },
  *check(recipe) {
    if (recipe.setups.size < 2) return;
    const setups = [...recipe.setups].map(([name, setup]) => ({
      name,
      plates: new Set(platesIn(recipe, setup).map(([, plate]) => plate.name)),
    }));
    const screens = printedPlates(recipe).map(({ name }) => name);
    const single = setups.flatMap(({ name, plates }) => {
      const own = [...plates].filter((plate) => setups.every((s) => s.name === name || !s.plates.has(plate)));
      return own.length > 0 ? [`${listed(own)} only on ${name}`] : [];
    });
    const swaps = setups.slice(1).map(({ name, plates }, i) => {
      const before = setups[i]!;
      const out = [...before.plates].filter((plate) => !plates.has(plate)).length;
      const into = [...plates].filter((plate) => !before.plates.has(plate)).length;
      return `from ${before.name} to ${name} ${out} out and ${into} in`;
    });
    yield {
      path: ["setups"],
      part: "key",
      message: `the job needs ${counted(screens.length, "screen")}${single.length > 0 ? `, ${single.join(", ")}` : ", all shared"}; screens to swap ${swaps.join(", ")}`,
    };
  },
};
