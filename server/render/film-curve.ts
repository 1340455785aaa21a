import type { Plate, Recipe } from "../language/recipe.ts";

/** Film tone 0–1 for each plate tone 0–255: what the film must ask for, so that the print gives the plate's tone. */
export function filmCurve(_recipe: Recipe, _plate: Plate): Float64Array {
  return Float64Array.from({ length: 256 }, (_, tone) => tone / 255);
}
