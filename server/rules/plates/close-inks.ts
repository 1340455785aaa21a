import { deltaE00 } from "../../engine/colour/ciede2000.ts";
import { printedPlates } from "../job.ts";
import type { JobRule } from "../rule.ts";
import { figure } from "../words.ts";
import { yaml } from "../yaml.ts";

/** Hardly told apart side by side. Common practice, no source. */
const SAME_COLOUR_DELTA_E = 3;

/** Two inks that look alike are one ink too many. */
export const closeInks: JobRule = {
  id: "close-inks",
  looksAt: "job",
  level: "warning",
  why: "Two inks that nobody tells apart cost a screen and a station for nothing.",
  source: "ΔE00 by ISO/CIE 11664-6; 3 as the bound is common practice, no source.",
  example: {
    fails: yaml`
      inks:
        white: { colour: "#f8f8f4", opacity: 92% }
        ember: { colour: "#d8431f", opacity: 70% }
        flame: { colour: "#da4622", opacity: 70% }
        black: { colour: "#131316", opacity: 97% }
      plates:
        base: { ink: white, purpose: underbase, extract: { artwork: opaque } }
        ember: { ink: ember, extract: { hue: [350, 30] } }
        flame: { ink: flame, extract: { hue: [30, 50] } }
        black: { ink: black, purpose: shadow, extract: { lightness: [0, 18] } }
      setups:
        dark: { garments: [black], order: [base, flash, ember, flame, black] }
    `,
    passes: yaml`
      inks:
        white: { colour: "#f8f8f4", opacity: 92% }
        ember: { colour: "#d8431f", opacity: 70% }
        flame: { colour: "#e8842a", opacity: 70% }
        black: { colour: "#131316", opacity: 97% }
      plates:
        base: { ink: white, purpose: underbase, extract: { artwork: opaque } }
        ember: { ink: ember, extract: { hue: [350, 30] } }
        flame: { ink: flame, extract: { hue: [30, 50] } }
        black: { ink: black, purpose: shadow, extract: { lightness: [0, 18] } }
      setups:
        dark: { garments: [black], order: [base, flash, ember, flame, black] }
    `,
  },
  *check(recipe) {
    const used = new Map(printedPlates(recipe).map((plate) => [plate.ink, plate] as const));
    const inks = [...used].map(([ink, plate]) => ({ ink, plate, lab: recipe.inks.get(ink)!.colour.lab }));
    for (const [i, one] of inks.entries()) {
      for (const other of inks.slice(0, i)) {
        const difference = deltaE00(one.lab.L, one.lab.a, one.lab.b, other.lab.L, other.lab.a, other.lab.b);
        if (difference >= SAME_COLOUR_DELTA_E) continue;
        yield {
          path: ["plates", one.plate.name, "ink"],
          message: `inks ${one.ink} and ${other.ink} are ${figure(difference)} ΔE00 apart, which nobody sees; print both plates with one ink, or fold one into the other`,
        };
      }
    }
  },
};
