import { linearFromLab } from "../../engine/colour/cielab.ts";
import { byteFromLinear } from "../../engine/colour/srgb.ts";
import type { CompositePlan, PreparationPlan, SeparationPlan, ThinnestPlan } from "../../engine/plan.ts";
import { MM_PER_INCH } from "../../engine/units.ts";
import type { Plate, Recipe } from "../../language/recipe.ts";
import type { Colour } from "../../language/values/colour.ts";
import { indexPlan } from "./index-plan.ts";
import { curvePlan, platePlan } from "./plate-plan.ts";
import { printConditions, printStations } from "./print-plan.ts";
import { solving } from "./solving-plan.ts";
import { neighbourTraps } from "./trap-plan.ts";

/** The part of a recipe that makes plates, in the engine's terms. */
export function separationPlan(recipe: Recipe): SeparationPlan {
  return {
    preparation: preparation(recipe),
    plates: [...recipe.plates.values()].map((plate) => platePlan(plate, recipe)),
    composite: composite(recipe),
    adjustments: recipe.adjustments.map(({ plate, curve, region }) => ({
      plate,
      curve: curvePlan(curve),
      region,
    })),
    merges: recipe.merges,
    // One order whatever the recipe's, so that rounding cannot tell them apart.
    knockouts: recipe.knockouts
      .map(({ from, where, above, chokeMm: choke }) =>
        above > 0 ? { from, where, above, choke } : { from, where, choke },
      )
      .sort((a, b) =>
        a.where < b.where ? -1 : a.where > b.where ? 1 : a.choke - b.choke || (a.above ?? 0) - (b.above ?? 0),
      ),
    traps: [
      ...recipe.traps.map(({ plate, way, distanceMm: distance, under }) =>
        under === undefined ? { plate, way, distance } : { plate, way, distance, under: [under] },
      ),
      ...neighbourTraps(recipe),
    ],
    thinnest: [...recipe.plates.values()].flatMap((plate) => thinnest(plate, recipe)),
    smallestDot: recipe.screening.smallestDot,
    solving: solving(recipe),
  };
}

/** What the plate's screening says, else the pitch of its mesh: a line that falls between two threads has no hold. */
function thinnest({ name, mesh, screening }: Plate, { meshes }: Recipe): ThinnestPlan[] {
  // Squares are as small as they are asked for.
  if (screening.method === "index") return [];
  const count = mesh === undefined ? undefined : meshes.get(mesh)?.count;
  const pitch = count === undefined ? 0 : MM_PER_INCH / count;
  const { smallestLineMm: line = pitch, smallestGapMm: gap = pitch } = screening;
  return line > 0 || gap > 0 ? [{ plate: name, line, gap }] : [];
}

/** What is done to the whole picture before plates see it. */
function preparation(recipe: Recipe): PreparationPlan | undefined {
  const { background, flat, smooth } = recipe.artwork;
  const index = indexPlan(recipe);
  if (!background && !flat && smooth === undefined && !index) return undefined;
  return {
    smooth,
    ...(index ? { index } : {}),
    background: background && {
      rgb: bytesOf(background.colour),
      within: background.within,
      enclosed: background.enclosed,
    },
    flat: flat && { colours: flat.colours.map(bytesOf), speckMm: flat.speckMm },
  };
}

/** 8-bit sRGB of a colour, the nearest. */
function bytesOf({ lab }: Colour): [number, number, number] {
  const { r, g, b } = linearFromLab(lab);
  return [byteFromLinear(r), byteFromLinear(g), byteFromLinear(b)];
}

/** What the artwork is made of where plates from files are all that there is: the first setup on its first garment. */
function composite(recipe: Recipe): CompositePlan | undefined {
  const [setup] = recipe.setups.values();
  const garment = setup?.garments[0];
  if (recipe.artwork.madeOf === undefined || !setup || garment === undefined) return undefined;
  return { conditions: printConditions(recipe, setup, garment), stations: printStations(recipe, setup) };
}
