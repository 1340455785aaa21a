import { listed } from "../../language/words.ts";
import { allLight, platesIn } from "../job.ts";
import type { JobRule } from "../rule.ts";
import { yaml } from "../yaml.ts";

/** The highlight sits on top of all that it brightens. */
export const highlightLast: JobRule = {
  id: "highlight-last",
  looksAt: "job",
  level: "warning",
  why: "A highlight that colours print over is tinted by them and loses its sparkle.",
  source: "Common practice, no source.",
  example: {
    fails: yaml`
      setups:
        dark: { garments: [black], order: [base, flash, glint, ember, black] }
    `,
    passes: yaml`
      setups:
        dark: { garments: [black], order: [base, flash, ember, black, glint] }
    `,
  },
  *check(recipe) {
    for (const [name, setup] of recipe.setups) {
      const plates = platesIn(recipe, setup);
      for (const [i, plate] of plates) {
        if (plate.purpose !== "highlight") continue;
        const later = plates.filter(([at, other]) => at > i && other.purpose !== "highlight");
        if (later.length === 0) continue;
        const names = listed(later.map(([, other]) => other.name));
        yield {
          path: ["setups", name, "order", i],
          message: `highlight ${plate.name} will be covered by ${names}; put it last`,
        };
      }
    }
  },
};

/** With nothing under the colours, the dark plate goes first. */
export const darkPlateLate: JobRule = {
  id: "dark-plate-late",
  looksAt: "job",
  level: "note",
  why: "On light cloth without an underbase, a dark plate printed over wet colours smears into them and its screen carries dark ink to the next garment.",
  source: "Common practice, no source.",
  example: {
    fails: yaml`
      garments: { white: { colour: "#f4f3ef" } }
      traps: []
      plates:
        ember: { ink: ember, extract: { hue: [350, 50], fade: 12 } }
        black: { ink: black, purpose: shadow, extract: { lightness: [0, 18], fade: 20 } }
      inks:
        ember: { colour: "#d8431f", opacity: 70% }
        black: { colour: "#131316", opacity: 97% }
      setups:
        light: { garments: [white], order: [ember, black] }
    `,
    passes: yaml`
      garments: { white: { colour: "#f4f3ef" } }
      traps: []
      plates:
        ember: { ink: ember, extract: { hue: [350, 50], fade: 12 } }
        black: { ink: black, purpose: shadow, extract: { lightness: [0, 18], fade: 20 } }
      inks:
        ember: { colour: "#d8431f", opacity: 70% }
        black: { colour: "#131316", opacity: 97% }
      setups:
        light: { garments: [white], order: [black, ember] }
    `,
  },
  *check(recipe) {
    for (const [name, setup] of recipe.setups) {
      const plates = platesIn(recipe, setup);
      if (!allLight(recipe, setup) || plates.some(([, { purpose }]) => purpose === "underbase")) continue;
      const colour = plates.find(([, { purpose }]) => purpose === "colour");
      const dark = plates.find(([, { purpose }]) => purpose === "shadow");
      if (!colour || !dark || dark[0] < colour[0]) continue;
      yield {
        path: ["setups", name, "order", dark[0]],
        message: `with nothing under the colours, ${dark[1].name} prints cleaner before them; put it first on light cloth`,
      };
    }
  },
};
