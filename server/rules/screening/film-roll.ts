import { filmPage } from "../../engine/screen/film-page.ts";
import { MM_PER_INCH } from "../../engine/units.ts";
import type { PixelRule } from "../rule.ts";
import { mm } from "../words.ts";

/** Films must fit the device that makes them. */
export const filmRoll: PixelRule = {
  id: "film-roll",
  looksAt: "pixels",
  level: "warning",
  why: "A film wider than the device's roll comes out cut off, marks first.",
  source: "Follows from the film device's own figures.",
  example: {
    fails:
      "# a square picture, and in the shop file: film: { roll: 13 in }\nartwork: { file: art.png, width: 12 in }",
    passes:
      "# a square picture, and in the shop file: film: { roll: 17 in }\nartwork: { file: art.png, width: 12 in }",
  },
  *check({ recipe, artwork }) {
    const { rollMm } = recipe;
    if (rollMm === undefined) return;
    const { widthMm } = recipe.artwork;
    const page = filmPage(widthMm, artwork.info.heightMm, recipe.screening.filmDpi);
    const [width, height] = [page.width, page.height].map((pixels) => (pixels * MM_PER_INCH) / page.dpi);
    // A film may lie on the roll either way.
    const across = Math.min(width!, height!);
    if (across <= rollMm + 0.1) return;
    yield {
      path: ["artwork", "width"],
      message: `films of this print are ${mm(width!)} × ${mm(height!)} with their marks, and the film roll is ${mm(rollMm)} wide; print it smaller, or have the films made elsewhere`,
    };
  },
};
