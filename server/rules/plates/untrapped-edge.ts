import { placeWords } from "../../language/place-words.ts";
import { counted } from "../../language/words.ts";
import { misregistrationOf } from "../../render/plan/print-plan.ts";
import { touchingPairs } from "../../render/touching-pairs.ts";
import { SAME_MM } from "../job.ts";
import type { PixelRule } from "../rule.ts";
import { mm } from "../words.ts";
import { yaml } from "../yaml.ts";

/** Shorter common edges are not worth a word. Common practice, no source. */
const LEAST_MM = 10;

/** Two solid colours that only touch. */
export const untrappedEdge: PixelRule = {
  id: "untrapped-edge",
  looksAt: "pixels",
  level: "note",
  why: "Screens never meet exactly: where two solid colours only touch, a line of garment or underbase opens between them.",
  source: "Common practice, no source; the distance is the shop's misregistration, else 0.2 mm.",
  example: {
    fails: yaml`
      # a picture in which two solid colours touch
      traps:
        - { plate: base, choke: 0.2 mm }
    `,
    passes: yaml`
      # a picture in which two solid colours touch
      traps:
        - { plate: base, choke: 0.2 mm }
        - { neighbours: 0.2 mm }
    `,
  },
  *check(print) {
    const { recipe } = print;
    const least = misregistrationOf(recipe);
    const { neighbours } = recipe;
    const [longest, ...others] = touchingPairs(print)
      .filter(({ lengthMm, trapMm }) => lengthMm >= LEAST_MM && trapMm < least - SAME_MM)
      .sort((a, b) => b.lengthMm - a.lengthMm);
    if (!longest) return;
    // One trap closes them all, so the longest stands for them.
    const { plate, under, lengthMm, trapMm, where } = longest;
    const now = trapMm > 0 ? `overlaps by only ${mm(trapMm)} with` : "only touches";
    const more = others.length > 0 ? ` (and ${counted(others.length, "other pair")})` : "";
    yield {
      path: neighbours ? ["traps", neighbours.index, "neighbours"] : ["plates", plate],
      ...(neighbours ? {} : { part: "key" as const }),
      message: `${plate} ${now} ${under} along ${lengthText(lengthMm)}, ${placeWords(where)}${more}, where lines open when screens are ${mm(least)} off; spread neighbours by ${mm(least)}`,
      data: neighbours
        ? { replacement: mm(least) }
        : { add: { list: ["traps"], text: `{ neighbours: ${mm(least)} }` } },
    };
  },
};

function lengthText(lengthMm: number): string {
  if (lengthMm < 100) return `${Math.round(lengthMm)} mm`;
  return lengthMm < 1000 ? `${Math.round(lengthMm / 10)} cm` : `${(lengthMm / 1000).toFixed(1)} m`;
}
