import { parseDocument } from "../../server/language/document.ts";
import { resolveRecipe } from "../../server/language/resolve-recipe.ts";
import { makePrint } from "../../server/render/print.ts";

/** A print of 20 × 10 mm at `scale` pixels a millimetre, red where asked by millimetres, the rest white. */
export async function printWhere(
  red: (x: number, y: number) => boolean | readonly number[],
  { recipe = RECIPE, scale = 1, heightMm = 10 } = {},
) {
  const [width, height] = [20 * scale, heightMm * scale];
  // Not on a whole word, as bytes out of a message may lie.
  const data = new Uint8Array(width * height * 4 + 1).subarray(1).fill(255);
  for (let i = 0; i < width * height; i++) {
    const there = red(((i % width) + 0.5) / scale, (Math.floor(i / width) + 0.5) / scale);
    if (there) data.set(there === true ? [216, 67, 31] : there, i * 4);
  }
  const info = { widthMm: 20, heightMm, ppi: 25.4 * scale, vector: false };
  const artwork = { picture: { width, height, data }, ppi: 25.4 * scale, info, notes: [] };
  return makePrint(resolveRecipe(parseDocument("job.sep.yaml", recipe)), artwork as never);
}

/** The left columns of millimetres red. */
export const print = (redColumns: number, recipe = RECIPE) => printWhere((x) => x < redColumns, { recipe });

export const RECIPE = `recipe: 1
artwork: { file: art.png, width: 20 mm }
garments: { black: { colour: "#17171a" } }
inks:
  white: { colour: "#ffffff", opacity: 95% }
  ember: { colour: "#d8431f", opacity: 80% }
plates:
  base: { ink: white, purpose: underbase, extract: { artwork: opaque } }
  ember: { ink: ember, extract: { near: "#d8431f", within: 5 } }
setups:
  dark: { garments: [black], order: [base, flash, ember] }
`;
