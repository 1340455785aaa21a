import type { Artwork } from "../artwork/artwork.ts";
import { type Difference, DifferenceMeter } from "../engine/print/difference.ts";
import { linearFilm } from "../engine/print/linear-film.ts";
import type { Impression } from "../engine/print/model.ts";
import type { Tones } from "../engine/raster.ts";
import type { Recipe, Setup } from "../language/recipe.ts";
import { type Pace, unhurried } from "./pace.ts";

/** A picture of what the press is expected to give, and how far that is from the artwork. */
export interface Proof {
  readonly width: number;
  readonly height: number;
  /** 8-bit sRGB, three bytes a pixel. */
  readonly rgb: Uint8Array;
  readonly difference: Difference;
}

/** Pixels printed between two looks at the pace. */
const PIECE = 1 << 20;

/** What the setup's stations lay down, in their order. */
export function impressionsOf(
  recipe: Recipe,
  setup: Setup,
  plates: ReadonlyMap<string, Tones>,
): Impression[] {
  return setup.order.flatMap((step): Impression[] => {
    if (typeof step === "string") return [];
    const ink = recipe.inks.get(recipe.plates.get(step.plate)!.ink)!;
    return [{ ink: { colour: ink.colour.lab, opacity: ink.opacity }, tones: plates.get(step.plate)! }];
  });
}

/** The garment after `stations` stations of the setup (all of them if undefined); flashes and cool-downs count. */
export async function makeProof(
  recipe: Recipe,
  artwork: Artwork,
  garment: string,
  setup: Setup,
  plates: ReadonlyMap<string, Tones>,
  stations: number | undefined,
  pace: Pace = unhurried,
): Promise<Proof> {
  const { picture } = artwork;
  const { width, height } = picture;
  const cloth = recipe.garments.get(garment)!.colour.lab;
  const impressions = impressionsOf(recipe, { ...setup, order: setup.order.slice(0, stations) }, plates);
  const rgb = new Uint8Array(width * height * 3);
  const meter = new DifferenceMeter(cloth);
  for (let start = 0; start < width * height; start += PIECE) {
    const end = Math.min(width * height, start + PIECE);
    const piece = rgb.subarray(start * 3, end * 3);
    linearFilm.print(cloth, impressions, start, end, piece);
    meter.add(picture, start, end, piece);
    await pace(end / (width * height));
  }
  return { width, height, rgb, difference: meter.result() };
}
