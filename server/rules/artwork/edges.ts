import { backgroundOf } from "../../engine/inspect/background.ts";
import { hexOf } from "../../engine/inspect/colour-groups.ts";
import { Thirds } from "../../engine/inspect/thirds.ts";
import { placeWords } from "../../language/place-words.ts";
import type { PixelRule } from "../rule.ts";
import { cm2, mm } from "../words.ts";

/** A fade from cover to garment is soft from this width on; less is an edge. */
const SOFT_MM = 1;
const LEAST_SOFT_CM2 = 0.5;
/** Alpha of what neither covers nor is clear. */
const CLEAR = 13;
const COVERS = 242;

/** Half-transparent parts can only be printed as dots. */
export const softEdge: PixelRule = {
  id: "soft-edge",
  looksAt: "pixels",
  level: "warning",
  why: "Half-transparent pixels print as dots, in the underbase too, and light specks of it show on dark garments.",
  source: "Common practice, no source.",
  example: {
    fails:
      "# a picture with a soft shadow or glow that fades into nothing\nartwork: { file: art.png, width: 10 in }",
    passes: "# the same picture with clean edges\nartwork: { file: art.png, width: 10 in }",
  },
  *check(print) {
    const { width, height, data } = print.picture;
    const reach = Math.max(1, Math.round(SOFT_MM / 2 / print.pixelMm));
    const soft = (at: number) => data[at * 4 + 3]! > CLEAR && data[at * 4 + 3]! < COVERS;
    const where = new Thirds(width, height);
    for (let y = reach; y < height - reach; y++) {
      for (let x = reach; x < width - reach; x++) {
        const at = y * width + x;
        if (!soft(at)) continue;
        if (soft(at - reach) && soft(at + reach) && soft(at - reach * width) && soft(at + reach * width))
          where.add(at);
      }
    }
    const area = print.areaCm2(where.sum);
    if (area < LEAST_SOFT_CM2) return;
    yield {
      path: ["artwork", "file"],
      message: `${cm2(area)} of the artwork, ${placeWords(where)}, is half transparent and will print as dots; ask for hard edges, or write "opacity: [60, 100]"`,
    };
  },
};

const LEAST_PRINTED = 0.1;

/** A background that reaches the picture's edges prints as a rectangle. */
export const backgroundBox: PixelRule = {
  id: "backdrop-box",
  looksAt: "pixels",
  level: "warning",
  why: "A plain background that was not cut out prints as a box around the picture.",
  source: "Common practice, no source.",
  example: {
    fails:
      "# a figure on an opaque white background\nplates:\n  base: { ink: white, purpose: underbase, extract: { artwork: opaque } }",
    passes:
      '# the same\nplates:\n  base: { ink: white, purpose: underbase, extract: { artwork: opaque, except: { near: "#ffffff", within: 3 } } }',
  },
  *check(print) {
    const backdrop = backgroundOf(print.picture);
    if (!backdrop) return;
    const { border } = backdrop;
    const hex = hexOf(backdrop.rgb);
    const printing = [...print.plates.values()].filter(({ tones }) => {
      let sum = 0;
      for (const at of border) sum += tones[at]!;
      return sum / (255 * border.length) > LEAST_PRINTED;
    });
    if (printing.length === 0) return;
    const { widthMm } = print.recipe.artwork;
    const names = printing.map(({ name }) => name).join(", ");
    yield {
      path: ["artwork", "file"],
      message: `a plain background of ${hex} will print as a box of ${mm(widthMm)} × ${mm(print.artwork.info.heightMm)} in ${names}; cut it out, or write except: { near: "${hex}", within: 4 }`,
      data: { colour: hex },
    };
  },
};
