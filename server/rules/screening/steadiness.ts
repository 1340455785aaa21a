import { placeWhere } from "../../language/place-words.ts";
import { listed } from "../../language/words.ts";
import { misregistrationOf } from "../../render/plan/print-plan.ts";
import type { Print } from "../../render/print.ts";
import { steadinessOf } from "../../render/steadiness.ts";
import type { Mark, PixelRule } from "../rule.ts";
import { figure, mm } from "../words.ts";
import { yaml } from "../yaml.ts";
import { otherAngle } from "./angles.ts";

/** ΔE00 that 95 % of the print keep within from print to print: what is just seen side by side, and what is seen. */
const NOTED = 1;
const UNSTEADY = 2;

const SOURCE =
  "Worked out with the print model, 16 draws of the register (the shop's misregistration, else 0.2 mm, for 2.5 deviations); the bounds are common practice, no source.";

const NESTED = yaml`
  # a picture in halftones of both inks
  press: { stations: 10, flashes: 2, misregistration: 0.4 mm }
  garments: { white: { colour: "#f4f3ef" } }
  traps: []
  knockouts: []
  plates:
    ember: { ink: ember, extract: { artwork: opaque }, strength: lightness }
    black: { ink: black, extract: { artwork: opaque }, strength: darkness }
  setups:
    light: { garments: [white], order: [black, ember] }
`;

const example = {
  fails: NESTED,
  passes: NESTED.replace("darkness }", "darkness, screening: { angle: 67.5 } }"),
};

export const unsteadyColour: PixelRule = {
  id: "unsteady-colour",
  looksAt: "pixels",
  level: "warning",
  why: "Where plates have the same ruling and angle, their dots overlap more or less as screens shift: colours made of several halftones differ from garment to garment.",
  source: SOURCE,
  example,
  check: (print) => marks(print, UNSTEADY, Number.POSITIVE_INFINITY),
};

export const slightlyUnsteadyColour: PixelRule = {
  id: "slightly-unsteady-colour",
  looksAt: "pixels",
  level: "note",
  why: "Colours made of several halftones change with small shifts of the screens, just enough to show when two garments lie side by side.",
  source: SOURCE,
  example,
  check: (print) => marks(print, NOTED, UNSTEADY),
};

function* marks(print: Print, from: number, below: number): Iterable<Mark> {
  const { recipe } = print;
  for (const setup of recipe.setups.keys()) {
    const found = steadinessOf(print, setup);
    if (!found || found.p95 < from || found.p95 >= below || found.plates.length < 2) continue;
    const turned = found.plates.findLast((plate) => recipe.plates.get(plate)!.purpose !== "underbase")!;
    const angle = otherAngle(recipe, turned);
    const advice = angle === undefined ? "use a coarser ruling" : `turn ${turned} to ${angle}°`;
    yield {
      path: ["setups", setup],
      part: "key",
      message: `setup ${setup} will vary by up to ${figure(found.p95)} ΔE00 (95 %) with screens ${mm(misregistrationOf(recipe))} off, most of all ${placeWhere(found.where)} halftones of ${listed(found.plates)} overlap; ${advice}`,
      ...(angle === undefined ? {} : { data: { angle: { plates: [turned], angle } } }),
    };
  }
}
