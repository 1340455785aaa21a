import type { PixelRule } from "../rule.ts";
import { cm2 } from "../words.ts";
import { yaml } from "../yaml.ts";

/** Less of the page's colour inside the drawing is no area that anybody looks for. */
const LEAST_CM2 = 0.05;

/** What the recipe leaves out of the customer's picture is said. */
export const backgroundCut: PixelRule = {
  id: "background-cut",
  looksAt: "pixels",
  level: "note",
  why: "The background's colour can also be part of the drawing: whether it prints there or the garment stays bare is the customer's choice.",
  source: "Follows from the recipe.",
  example: {
    fails: yaml`
      # a ring on a white page
      artwork: { file: art.png, width: 10 in, background: { colour: "#ffffff", enclosed: cut } }
    `,
    passes: yaml`
      # a disc on a white page
      artwork: { file: art.png, width: 10 in, background: { colour: "#ffffff", enclosed: cut } }
    `,
  },
  *check(print) {
    const { cut } = print.artwork;
    const { background } = print.recipe.artwork;
    if (!cut || !background) return;
    const bare = print.areaCm2(cut.enclosedCut);
    const kept = print.areaCm2(cut.enclosed - cut.enclosedCut);
    if (bare < LEAST_CM2) return;
    const rest = kept < LEAST_CM2 ? "" : `, ${cm2(kept)} prints`;
    yield {
      path: ["artwork", "background", "enclosed"],
      message: `the page is cut out (${cm2(print.areaCm2(cut.page))}); of its colour inside the drawing ${cm2(bare)} stays bare garment${rest}; "enclosed: kept" prints it all`,
      data: { replacement: "kept" },
    };
  },
};
