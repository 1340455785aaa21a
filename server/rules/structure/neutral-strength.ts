import { chromaOf } from "../../engine/colour/cielab.ts";
import { blocksOf, fieldsOf } from "../../language/partial-data.ts";
import { parseColour } from "../../language/values/colour.ts";
import type { RecipeRule } from "../rule.ts";
import { yaml } from "../yaml.ts";

/** Under this C*ab an ink is seen as white, grey or black; strength by chroma has nothing to measure against. */
export const LEAST_CHROMA = 5;

/** `strength: chroma` compares the artwork's chroma with the ink's, so the ink needs one. */
export const neutralStrength: RecipeRule = {
  id: "neutral-strength",
  looksAt: "recipe",
  level: "error",
  fixed: true,
  why: "Strength by chroma measures the artwork against the ink's chroma; a neutral ink has none.",
  source: "Follows from the format.",
  example: {
    fails: yaml`
      plates:
        base: { ink: white, purpose: underbase, extract: { artwork: opaque }, strength: chroma }
      setups:
        dark: { garments: [black], order: [base] }
    `,
    passes: yaml`
      plates:
        base: { ink: white, purpose: underbase, extract: { artwork: opaque }, strength: lightness }
      setups:
        dark: { garments: [black], order: [base] }
    `,
  },
  *check({ doc, shop }) {
    for (const [name, { ink, strength }] of blocksOf(doc.value, "plates")) {
      if (strength !== "chroma" || typeof ink !== "string") continue;
      const entry = inkEntry(doc.value, ink) ?? inkEntry(shop?.doc.value, ink);
      const solid = entry?.colour ?? entry?.["over-white"];
      const colour = typeof solid === "string" ? parseColour(solid) : undefined;
      if (!colour?.ok) continue;
      const chroma = chromaOf(colour.value.lab.a, colour.value.lab.b);
      if (chroma >= LEAST_CHROMA) continue;
      yield {
        path: ["plates", name, "strength"],
        message: `ink "${ink}" is neutral (C*ab ${chroma.toFixed(1)}), so strength by chroma has no measure; use flat, lightness or darkness`,
      };
    }
  },
};

function inkEntry(value: unknown, ink: string): Readonly<Record<string, unknown>> | undefined {
  const inks = fieldsOf(fieldsOf(value).inks);
  return Object.hasOwn(inks, ink) ? fieldsOf(inks[ink]) : undefined;
}
