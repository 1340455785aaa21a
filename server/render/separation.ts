import type { Artwork } from "../artwork/artwork.ts";
import type { FinishedPlate } from "../engine/separate.ts";
import { MM_PER_INCH } from "../engine/units.ts";
import type { Recipe } from "../language/recipe.ts";
import { separationPlan } from "./plan/separation-plan.ts";
import { ignoreProgress, type OnProgress } from "./progress.ts";
import { separated } from "./strips.ts";

/** The recipe's plates, each as soon as it is finished. */
export async function* makePlates(
  recipe: Recipe,
  artwork: Artwork,
  onProgress: OnProgress = ignoreProgress,
): AsyncGenerator<FinishedPlate, void> {
  yield* separated(artwork.picture, artwork.ppi / MM_PER_INCH, separationPlan(recipe), { onProgress });
}
