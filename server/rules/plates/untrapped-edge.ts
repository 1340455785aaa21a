import { placeWords } from "../../language/place-words.ts";
import { DEFAULT_MISREGISTRATION_MM } from "../../language/recipe.ts";
import { touchingPairs } from "../../render/trap-pairs.ts";
import { SAME_MM } from "../job.ts";
import type { PixelRule } from "../rule.ts";
import { mm } from "../words.ts";
import { yaml } from "../yaml.ts";

/** Shorter common edges are not worth a word. Common practice, no source. */
const LEAST_MM = 10;

/** Two solid colours that end at one another. */
export const untrappedEdge: PixelRule = {
  id: "untrapped-edge",
  looksAt: "pixels",
  level: "note",
  why: "Screens never meet exactly: between two colours that end at one another a line of garment or underbase opens.",
  source: "Common practice, no source; the distance is the shop's misregistration, else 0.1 mm.",
  example: {
    fails: yaml`
      # a picture in which two solid colours touch
      traps:
        - { plate: base, choke: 0.1 mm }
    `,
    passes: yaml`
      # a picture in which two solid colours touch
      traps:
        - { plate: base, choke: 0.1 mm }
        - { neighbours: 0.1 mm }
    `,
  },
  *check(print) {
    const { recipe } = print;
    const least = recipe.press?.misregistrationMm ?? DEFAULT_MISREGISTRATION_MM;
    for (const { plate, under, lengthMm, where, trapMm } of touchingPairs(print)) {
      if (lengthMm < LEAST_MM || trapMm >= least - SAME_MM) continue;
      const now = trapMm > 0 ? `overlap by ${mm(trapMm)} only` : "end at one another";
      const length = lengthMm < 100 ? `${Math.round(lengthMm)} mm` : `${Math.round(lengthMm / 10)} cm`;
      const { neighbours } = recipe;
      yield {
        path: neighbours ? ["traps", neighbours.index, "neighbours"] : ["plates", plate],
        ...(neighbours ? {} : { part: "key" as const }),
        message: `${plate} and ${under} ${now} along ${length}, ${placeWords(where)}, where a line will open when screens are ${mm(least)} off; spread neighbours by ${mm(least)} or more`,
        data: neighbours
          ? { replacement: mm(least) }
          : { add: { list: ["traps"], text: `{ neighbours: ${mm(least)} }` } },
      };
    }
  },
};
