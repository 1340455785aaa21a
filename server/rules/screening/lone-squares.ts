import { squareGrid, squareOf } from "../../engine/squares/grid.ts";
import type { PixelRule } from "../rule.ts";
import { percent } from "../words.ts";
import { yaml } from "../yaml.ts";

/** Share of a plate's squares from which those that stand alone make the plate. Common practice, no source. */
const MOST_ALONE = 0.5;
/** Plates of less than this share of the print have other troubles. */
const LEAST_SHARE = 0.005;

/** Slivers of single squares. */
export const loneSquares: PixelRule = {
  id: "lone-squares",
  looksAt: "pixels",
  level: "note",
  why: "A single square is lost first: it washes out of the stencil or fills in on press, and the mixture that it belongs to changes its colour.",
  source: "Common practice, no source.",
  example: {
    fails: yaml`
      # a picture of mid-greys
      plates:
        black: { ink: black, purpose: shadow, extract: { index: squares } }
    `,
    passes: yaml`
      # a picture in the ink's own colour
      plates:
        black: { ink: black, purpose: shadow, extract: { index: squares } }
    `,
  },
  *check(print) {
    const { width, height } = print.picture;
    const { across, down } = squareGrid(width, height, print.recipe.index.across);
    const [columns, rows] = [squareOf(across, width), squareOf(down, height)];
    for (const { name, tones } of print.plates.values()) {
      if (print.recipe.plates.get(name)!.screening.method !== "index") continue;
      const isInk = (x: number, y: number) =>
        x >= 0 && y >= 0 && x < across && y < down && tones[rows[y]! * width + columns[x]!]! >= 128;
      let [all, alone] = [0, 0];
      for (let y = 0; y < down; y++)
        for (let x = 0; x < across; x++) {
          if (!isInk(x, y)) continue;
          all++;
          if (!isInk(x - 1, y) && !isInk(x + 1, y) && !isInk(x, y - 1) && !isInk(x, y + 1)) alone++;
        }
      if (all < LEAST_SHARE * across * down || alone < MOST_ALONE * all) continue;
      yield {
        path: ["plates", name],
        part: "key",
        message: `${percent(alone / all)} of the squares of ${name} stand alone and are lost first on press; take a coarser grid, or an ink nearer to the artwork`,
      };
    }
  },
};
