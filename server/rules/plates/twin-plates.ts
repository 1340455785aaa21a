import { likeness } from "../../engine/inspect/likeness.ts";
import type { PixelRule } from "../rule.ts";
import { percent } from "../words.ts";
import { yaml } from "../yaml.ts";

/** Common practice, no source. */
const CORRELATED = 0.97;
const OVERLAPPING = 0.85;

/** Two screens that print the same are one too many. */
export const twinPlates: PixelRule = {
  id: "twin-plates",
  looksAt: "pixels",
  level: "warning",
  why: "Two plates with nearly the same dots print one colour between them, and take two screens for it.",
  source: "Pearson's correlation and shared area of the tones; the bounds are common practice, no source.",
  example: {
    fails: yaml`
      plates:
        ember: { ink: ember, extract: { hue: [350, 50] } }
        rose: { ink: rose, extract: { hue: [348, 52] } }
    `,
    passes: yaml`
      plates:
        ember: { ink: ember, extract: { hue: [10, 50] } }
        rose: { ink: rose, extract: { hue: [340, 10] } }
    `,
  },
  *check({ recipe, plates }) {
    const all = [...plates.values()];
    for (const [i, one] of all.entries()) {
      for (const other of all.slice(0, i)) {
        if (recipe.plates.get(one.name)!.purpose !== recipe.plates.get(other.name)!.purpose) continue;
        const { correlation, overlap } = likeness(one.untrapped, other.untrapped);
        if (correlation < CORRELATED || overlap < OVERLAPPING) continue;
        yield {
          path: ["plates", one.name],
          part: "key",
          message: `${one.name} and ${other.name} print nearly the same: ${percent(overlap)} of their ink falls in the same place; draw their ranges apart, or fold one into the other`,
          data: { fold: { plate: one.name, into: other.name } },
        };
      }
    }
  },
};
