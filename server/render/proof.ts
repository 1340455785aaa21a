import type { Artwork } from "../artwork/artwork.ts";
import { preparePrint } from "../engine/print/model.ts";
import type { Tones } from "../engine/raster.ts";
import type { Recipe, Setup } from "../language/recipe.ts";
import { printConditions, printStations } from "./plan/print-plan.ts";
import { ignoreProgress, type OnProgress } from "./progress.ts";
import { type ProofDifference, ProofMeter } from "./proof-meter.ts";

/** A picture of what the press is expected to give, and how far that is from the artwork. */
export interface Proof {
  readonly width: number;
  readonly height: number;
  /** 8-bit sRGB, three bytes a pixel. */
  readonly rgb: Uint8Array;
  readonly difference: ProofDifference;
}

/** Prints a setup's stations on a garment: pixels from `start` to before `end`, as sRGB into three bytes each. */
export function printer(
  recipe: Recipe,
  garment: string,
  setup: Setup,
  plates: ReadonlyMap<string, Tones>,
): (start: number, end: number, rgb: Uint8Array) => void {
  const stations = printStations(recipe, setup);
  const print = preparePrint(printConditions(recipe, setup, garment), stations);
  const tones = stations.map(({ plate }) => plates.get(plate)!);
  return (start, end, rgb) => print.print(tones, start, end, rgb);
}

/** Pixels printed between two looks at the progress. */
const PIECE = 1 << 20;

/** The garment after all stations of the setup, and how far that is from the artwork. */
export async function makeProof(
  recipe: Recipe,
  artwork: Artwork,
  garment: string,
  setup: Setup,
  plates: ReadonlyMap<string, Tones>,
  onProgress: OnProgress = ignoreProgress,
): Promise<Proof> {
  const { picture } = artwork;
  const { width, height } = picture;
  const print = printer(recipe, garment, setup, plates);
  const rgb = new Uint8Array(width * height * 3);
  const meter = new ProofMeter(recipe, setup, garment, artwork);
  for (let start = 0; start < width * height; start += PIECE) {
    const end = Math.min(width * height, start + PIECE);
    const piece = rgb.subarray(start * 3, end * 3);
    print(start, end, piece);
    meter.add(start, end, piece);
    await onProgress(end / (width * height));
  }
  return { width, height, rgb, difference: meter.result(rgb) };
}
