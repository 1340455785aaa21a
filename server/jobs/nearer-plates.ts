import type { Artwork } from "../artwork/artwork.ts";
import { plateGains } from "../engine/tune/tune.ts";
import { MM_PER_INCH } from "../engine/units.ts";
import type { SourceDocument } from "../language/document.ts";
import { heldNumbers } from "../language/held.ts";
import type { Recipe } from "../language/recipe.ts";
import { tunableNumbers, tunablePlates } from "../language/tunable.ts";
import { tuneJob } from "../render/tune-job.ts";
import { isTunable } from "./tune.ts";

/** Less, in mean ΔE00, is not worth telling. */
const WORTH = 0.1;

/**
 * Plates of a recipe whose numbers, moved by themselves, would bring its proofs nearer to the artwork, by how much: mean
 * ΔE00 over all garments. A quick look at a few hundred pixels, of about half a second. Empty for recipes that `tune` does
 * not take.
 */
export async function nearerPlates(
  doc: SourceDocument,
  recipe: Recipe,
  { picture, ppi }: Artwork,
  turn: () => Promise<void>,
): Promise<ReadonlyMap<string, number>> {
  if (!isTunable(recipe) || picture.areas) return new Map();
  const numbers = tunableNumbers(recipe, new Set(tunablePlates(recipe)), heldNumbers(doc, recipe));
  const garments = new Map([...recipe.garments.keys()].map((name) => [name, 1]));
  const looking = plateGains(tuneJob(recipe, numbers, garments), picture, ppi / MM_PER_INCH);
  for (;;) {
    await turn();
    const step = looking.next();
    if (!step.done) continue;
    const names = [...recipe.plates.keys()];
    return new Map(
      [...step.value].flatMap(([p, gain]) => (gain >= WORTH ? [[names[p]!, gain] as const] : [])),
    );
  }
}
