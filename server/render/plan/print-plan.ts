import type { FabricColour } from "../../engine/print/ink-film.ts";
import type { PrintConditions, Station } from "../../engine/print/model.ts";
import { dotGain } from "../../language/readings/gain.ts";
import { DEFAULT_MISREGISTRATION_MM, type Garment, type Recipe, type Setup } from "../../language/recipe.ts";
import { filmScreening } from "../film-curve.ts";

/** A garment's fabric as the print model takes it. */
export function fabricColourOf({ colour, discharged }: Pick<Garment, "colour" | "discharged">): FabricColour {
  return discharged ? { ...colour.lab, discharged: discharged.lab } : colour.lab;
}

/** How a setup prints on a garment. */
export function printConditions(recipe: Recipe, setup: Setup, garment: string): PrintConditions {
  return {
    garment: fabricColourOf(recipe.garments.get(garment)!),
    n: setup.yuleNielsen,
    compensated: recipe.screening.compensate,
    smallestDot: recipe.screening.smallestDot,
    misregistrationMm: misregistrationOf(recipe),
  };
}

/** Largest distance between two plates in print: the shop's, else the usual. */
export function misregistrationOf({ press }: Pick<Recipe, "press">): number {
  return press?.misregistrationMm ?? DEFAULT_MISREGISTRATION_MM;
}

/** The stations of a setup that print, in order, each with its plate's name. */
export function printStations(recipe: Recipe, setup: Setup): (Station & { plate: string })[] {
  return setup.order.flatMap((step) => {
    if (typeof step === "string") return [];
    const plate = recipe.plates.get(step.plate)!;
    const ink = recipe.inks.get(plate.ink)!;
    const gain = dotGain(ink.gain ?? recipe.screening.gain, setup.yuleNielsen);
    return [{ plate: step.plate, ink: ink.film, gain, screen: filmScreening(plate.screening) }];
  });
}

/** The stations of a setup that print, in order, with what lies wet together. */
export function wetStations(
  recipe: Recipe,
  setup: Setup,
): (Station & { plate: string; readonly wetGroup: number })[] {
  let wetGroup = 0;
  const groups = setup.order.flatMap((step) => {
    if (step === "flash") wetGroup++;
    return typeof step === "string" ? [] : [wetGroup];
  });
  return printStations(recipe, setup).map((station, i) => ({ ...station, wetGroup: groups[i]! }));
}
