import { coarsestMoire, isVisible } from "../../engine/press/moire.ts";
import { sameLattice } from "../../engine/print/dot-lattices.ts";
import type { Recipe } from "../../language/recipe.ts";
import { listed } from "../../language/words.ts";
import { filmScreening } from "../../render/film-curve.ts";
import { misregistrationOf } from "../../render/plan.ts";
import type { Print } from "../../render/print.ts";
import { steadinessOf } from "../../render/steadiness.ts";
import type { Mark, PixelRule } from "../rule.ts";
import { figure, mm } from "../words.ts";
import { yaml } from "../yaml.ts";

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
  why: "Dots of plates with the same ruling and angle overlap more or less as screens shift, so that colours made of several halftones come out different on each garment.",
  source: SOURCE,
  example,
  check: (print) => marks(print, UNSTEADY, Number.POSITIVE_INFINITY),
};

export const slightlyUnsteadyColour: PixelRule = {
  id: "slightly-unsteady-colour",
  looksAt: "pixels",
  level: "note",
  why: "Colours made of several halftones change with small shifts of the screens, just enough to be seen with two garments side by side.",
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
      message: `colours of setup ${setup} will vary from print to print by up to ${figure(found.p95)} ΔE00 (95 % of them) when screens are ${mm(misregistrationOf(recipe))} off, most of all ${found.where}, where halftones of ${listed(found.plates)} overlap; ${advice}`,
      ...(angle === undefined ? {} : { data: { angle: { plate: turned, angle } } }),
    };
  }
}

/**
 * Turns from the usual angle that the trade uses: the first is as far as dots of four corners come, and the mesh's own
 * mirror image, so that it beats with the threads no more than the usual one. Common practice, no source.
 */
export const TURNS = [45, 30, 60, 15] as const;

/** An angle for a plate at which its dots nest with none of the plates that print with it, and do not beat with its mesh. */
export function otherAngle(recipe: Recipe, name: string): number | undefined {
  const plate = recipe.plates.get(name)!;
  const screen = filmScreening(plate.screening);
  if (screen.method !== "am") return undefined;
  const mesh = plate.mesh === undefined ? undefined : recipe.meshes.get(plate.mesh);
  const others = [...recipe.setups.values()]
    .flatMap(({ order }) => order)
    .flatMap((step) =>
      typeof step === "string" || step.plate === name ? [] : [recipe.plates.get(step.plate)!],
    );
  return TURNS.map((turn) =>
    screen.angle + turn > 90 ? screen.angle + turn - 90 : screen.angle + turn,
  ).find((angle) => {
    const turned = { ...screen, angle };
    if (others.some((other) => sameLattice(turned, filmScreening(other.screening)))) return false;
    if (!mesh) return true;
    const beat = coarsestMoire(mesh.count, screen.rulingLpi, angle);
    return (
      !isVisible(beat, screen.rulingLpi) ||
      isVisible(coarsestMoire(mesh.count, screen.rulingLpi, screen.angle), screen.rulingLpi)
    );
  });
}
