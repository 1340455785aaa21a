import type { IndexPlan } from "../../engine/plan.ts";
import { preparePrint } from "../../engine/print/model.ts";
import type { Plate, Recipe, Setup } from "../../language/recipe.ts";
import { printConditions, printStations } from "./print-plan.ts";
import { solvedFor } from "./solving-plan.ts";

/** The indexed plates of the print that plates are made for, in the recipe's order: their colours are numbered from 1. */
export function indexedPlates(recipe: Recipe): Plate[] {
  const order = solvedFor(recipe)?.setup.order ?? [];
  return [...recipe.plates.values()].filter(
    ({ name, extract }) =>
      extract.index !== undefined && order.some((step) => typeof step !== "string" && step.plate === name),
  );
}

/** Whether a setup prints squares, so that its colours are mixtures of theirs. */
export function mixesSquares({ plates }: Recipe, { order }: Setup): boolean {
  return order.some(
    (step) => typeof step !== "string" && plates.get(step.plate)!.extract.index !== undefined,
  );
}

/** What squares look like: solid inks one at a time, on the garment and its solid underbases. */
export function indexPlan(recipe: Recipe): IndexPlan | undefined {
  const plates = indexedPlates(recipe);
  const target = solvedFor(recipe);
  if (plates.length === 0 || !target) return undefined;
  const { across, dither } = recipe.index;
  const names = new Set(plates.map(({ name }) => name));
  const stations = printStations(recipe, target.setup).filter(
    ({ plate }) => names.has(plate) || recipe.plates.get(plate)!.purpose === "underbase",
  );
  const print = preparePrint(printConditions(recipe, target.setup, target.garment), stations);
  const looks = (own: string | undefined) =>
    print.colour(stations.map(({ plate }) => (plate === own || !names.has(plate) ? 1 : 0)));
  return {
    across,
    colours: [undefined, ...plates.map(({ name }) => name)].map(looks),
    dither,
  };
}
