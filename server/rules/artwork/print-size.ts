import type { PixelRule } from "../rule.ts";
import { mm } from "../words.ts";

/** The print must fit the press and the screens. */
export const printSize: PixelRule = {
  id: "print-size",
  looksAt: "pixels",
  level: "warning",
  why: "What reaches over the print area or the open screen is cut off, or hits the frame.",
  source: "Follows from the press's own figures.",
  example: {
    fails:
      "# a square picture, and in the shop file: press: { stations: 8, area: { width: 14 in, height: 16 in } }\nartwork: { file: art.png, width: 15 in }",
    passes:
      "# a square picture, and in the shop file: press: { stations: 8, area: { width: 14 in, height: 16 in } }\nartwork: { file: art.png, width: 13 in }",
  },
  *check({ recipe, artwork }) {
    const { left, top, right, bottom } = recipe.artwork.margins;
    const widthMm = recipe.artwork.widthMm * (1 - left - right);
    const heightMm = artwork.info.heightMm * (1 - top - bottom);
    for (const [what, size] of [
      ["the press's print area", recipe.press?.areaMm],
      ["a screen's image area", recipe.press?.screenMm],
    ] as const) {
      // A tenth of a millimetre is the rounding of whole pixels.
      if (!size || (widthMm <= size.width + 0.1 && heightMm <= size.height + 0.1)) continue;
      const most = Math.min(size.width, (size.height * widthMm) / heightMm);
      yield {
        path: ["artwork", "width"],
        message: `the print is ${mm(widthMm)} × ${mm(heightMm)} and ${what} ${mm(size.width)} × ${mm(size.height)}; print it ${mm(Math.floor(most))} wide or less`,
      };
      return;
    }
  },
};
