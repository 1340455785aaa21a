import type { Artwork } from "../artwork/artwork.ts";
import type { Tones } from "../engine/raster.ts";
import type { Recipe } from "../language/recipe.ts";
import { picturePng } from "../output/png.ts";
import type { OnProgress } from "../render/progress.ts";
import { makeProof, type Proof } from "../render/proof.ts";
import { makePlates } from "../render/separation.ts";
import type { ProofView } from "../wire/panel.ts";

/** A proof at the artwork's resolution as PNG, and how far it is from the artwork. */
export async function proofPng(
  recipe: Recipe,
  artwork: Artwork,
  { garment, setup: name, stations, without }: ProofView,
  progress: { readonly plates: OnProgress; readonly proof: OnProgress },
): Promise<{ readonly png: Uint8Array } & Pick<Proof, "difference">> {
  const setup = recipe.setups.get(name);
  if (!setup || !recipe.garments.has(garment))
    throw new Error(`there is no setup ${name} on garment ${garment}`);
  const order = setup.order
    .slice(0, stations)
    .filter((step) => typeof step === "string" || !without.includes(step.plate));
  const plates = new Map<string, Tones>();
  for await (const plate of makePlates(recipe, artwork, progress.plates)) plates.set(plate.name, plate.tones);
  const shown = { ...setup, order };
  const { rgb, width, height, difference } = await makeProof(
    recipe,
    artwork,
    garment,
    shown,
    plates,
    progress.proof,
  );
  return { png: await picturePng(rgb, width, height, artwork.ppi), difference };
}
