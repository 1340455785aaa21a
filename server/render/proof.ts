import type { Artwork } from "../artwork/artwork.ts";
import { type Difference, DifferenceMeter } from "../engine/print/difference.ts";
import { preparePrint } from "../engine/print/model.ts";
import type { Tones } from "../engine/raster.ts";
import type { Recipe, Setup } from "../language/recipe.ts";
import { printConditions, printStations } from "./plan.ts";
import { ignoreProgress, type OnProgress } from "./progress.ts";

/** A picture of what the press is expected to give, and how far that is from the artwork. */
export interface Proof {
  readonly width: number;
  readonly height: number;
  /** 8-bit sRGB, three bytes a pixel. */
  readonly rgb: Uint8Array;
  readonly difference: Difference;
}

/** Pixels printed between two looks at the progress. */
const PIECE = 1 << 20;

/** The garment after `stations` stations of the setup (all of them if undefined); flashes and cool-downs count. */
export async function makeProof(
  recipe: Recipe,
  artwork: Artwork,
  garment: string,
  setup: Setup,
  plates: ReadonlyMap<string, Tones>,
  stations: number | undefined,
  onProgress: OnProgress = ignoreProgress,
): Promise<Proof> {
  const { picture } = artwork;
  const { width, height } = picture;
  const conditions = printConditions(recipe, setup, garment);
  const printing = printStations(recipe, setup, stations);
  const print = preparePrint(conditions, printing);
  const tones = printing.map(({ plate }) => plates.get(plate)!);
  const rgb = new Uint8Array(width * height * 3);
  const meter = new DifferenceMeter(conditions.garment);
  for (let start = 0; start < width * height; start += PIECE) {
    const end = Math.min(width * height, start + PIECE);
    const piece = rgb.subarray(start * 3, end * 3);
    print.print(tones, start, end, piece);
    meter.add(picture, start, end, piece);
    await onProgress(end / (width * height));
  }
  return { width, height, rgb, difference: meter.result() };
}
