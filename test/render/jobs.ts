import type { Artwork } from "../../server/artwork/artwork.ts";
import { parseDocument } from "../../server/language/document.ts";
import type { Recipe } from "../../server/language/recipe.ts";
import { resolveRecipe } from "../../server/language/resolve-recipe.ts";

/** A recipe from the parts that a test is about. */
export function recipeOf(parts: {
  plates?: string;
  more?: string;
  order?: string;
  title?: string;
  artwork?: string;
}): Recipe {
  const text = `recipe: 1
title: ${parts.title ?? "A job"}
artwork: { file: art.png, width: 1 in${parts.artwork ?? ""} }
garments: { black: { colour: "#17171a" }, white: { colour: "#ffffff" } }
inks:
  white: { colour: "#ffffff", opacity: 100% }
  ember: { colour: "#d8431f", opacity: 100% }
plates:
${parts.plates ?? "  base: { ink: white, extract: { artwork: opaque } }\n  ember: { ink: ember, extract: { hue: [20, 60], chroma: [40, 140] } }\n"}
setups:
  dark: { garments: [black], order: [${parts.order ?? "base, flash, ember"}] }
${parts.more ?? ""}`;
  return resolveRecipe(parseDocument("a.sep.yaml", text));
}

/** An artwork of pixels, each [r, g, b, a], in one row. */
export function artworkOf(pixels: readonly (readonly number[])[], ppi = 25.4): Artwork {
  return {
    picture: { width: pixels.length, height: 1, data: Uint8Array.from(pixels.flat()) },
    ppi,
    info: undefined as unknown as Artwork["info"],
    notes: [],
  };
}
