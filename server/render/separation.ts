import { type Artwork, readArtwork } from "../artwork/artwork.ts";
import { type FinishedPlate, separate } from "../engine/separate.ts";
import type { Recipe } from "../language/recipe.ts";
import { MM_PER_INCH } from "../language/values/length.ts";
import { type Pace, unhurried } from "./pace.ts";
import { separationPlan } from "./plan.ts";

export interface RenderOptions {
  /** The artwork file, resolved. */
  readonly artworkFile: string;
  /** Pixels an inch at print size; undefined takes the artwork's own, and 300 for drawings. */
  readonly ppi: number | undefined;
  readonly pace?: Pace;
}

/** Reads the recipe's artwork at print size. Throws ArtworkError. */
export function loadArtwork(recipe: Recipe, { artworkFile, ppi }: RenderOptions): Promise<Artwork> {
  return readArtwork(artworkFile, { widthMm: recipe.artwork.widthMm, ...(ppi === undefined ? {} : { ppi }) });
}

/** The recipe's plates, each as soon as it is finished. */
export async function* makePlates(
  recipe: Recipe,
  artwork: Artwork,
  pace: Pace = unhurried,
): AsyncGenerator<FinishedPlate, void> {
  for (const step of separate(artwork.picture, artwork.ppi / MM_PER_INCH, separationPlan(recipe))) {
    if (typeof step === "number") await pace(step);
    else yield step;
  }
}
