import { readArtwork } from "../artwork/artwork.ts";
import type { Tones } from "../engine/raster.ts";
import type { Recipe } from "../language/recipe.ts";
import type { OnProgress } from "../render/progress.ts";
import { makeProof } from "../render/proof.ts";
import { makePlates } from "../render/separation.ts";
import { picturePng } from "./png.ts";

/** What the picture shows: a garment after some stations of a setup, with some plates left out for a look. */
export interface ProofView {
  readonly garment: string;
  readonly setup: string;
  /** Stations that have printed; undefined for all. */
  readonly stations: number | undefined;
  readonly without: readonly string[];
}

/** A proof at the artwork's own resolution, a drawing at 300 ppi, as PNG. Throws ArtworkError. */
export async function proofPng(
  recipe: Recipe,
  artworkFile: string,
  { garment, setup: name, stations, without }: ProofView,
  onProgress: OnProgress,
): Promise<Uint8Array> {
  const setup = recipe.setups.get(name);
  if (!setup || !recipe.garments.has(garment))
    throw new Error(`there is no setup ${name} on garment ${garment}`);
  const artwork = await readArtwork(artworkFile, { widthMm: recipe.artwork.widthMm });
  const order = setup.order
    .slice(0, stations)
    .filter((step) => typeof step === "string" || !without.includes(step.plate));
  const plates = new Map<string, Tones>();
  for await (const plate of makePlates(recipe, artwork, onProgress)) plates.set(plate.name, plate.tones);
  const made = await makeProof(recipe, artwork, garment, { ...setup, order }, plates, undefined, onProgress);
  return picturePng(made.rgb, made.width, made.height, artwork.ppi);
}
