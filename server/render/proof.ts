import type { Artwork } from "../artwork/artwork.ts";
import { type Difference, DifferenceMeter } from "../engine/print/difference.ts";
import { preparePrint } from "../engine/print/model.ts";
import { windowMeans } from "../engine/print/window-means.ts";
import type { Tones } from "../engine/raster.ts";
import { squareGrid } from "../engine/squares/grid.ts";
import { MM_PER_INCH } from "../engine/units.ts";
import type { Recipe, Setup } from "../language/recipe.ts";
import { mixesSquares, printConditions, printStations } from "./plan.ts";
import { ignoreProgress, type OnProgress } from "./progress.ts";

/** A picture of what the press is expected to give, and how far that is from the artwork. */
export interface Proof {
  readonly width: number;
  readonly height: number;
  /** 8-bit sRGB, three bytes a pixel. */
  readonly rgb: Uint8Array;
  readonly difference: Difference;
  /** Side of the windows whose means were compared, where squares mix to colours; undefined for pixel by pixel. */
  readonly windowMm: number | undefined;
}

/** Squares along a window's side: enough for their mixture to settle, few enough for what is drawn. */
const WINDOW_SQUARES = 8;

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
  const meter = new DifferenceMeter(recipe.garments.get(garment)!.colour.lab);
  const isMixed = mixesSquares(recipe, setup);
  for (let start = 0; start < width * height; start += PIECE) {
    const end = Math.min(width * height, start + PIECE);
    const piece = rgb.subarray(start * 3, end * 3);
    print(start, end, piece);
    if (!isMixed) meter.add(picture, start, end, piece);
    await onProgress(end / (width * height));
  }
  let windowMm: number | undefined;
  if (isMixed) {
    const { across } = squareGrid(width, height, recipe.index.across);
    const side = Math.round((WINDOW_SQUARES * width) / across);
    const seen = windowMeans(picture.data, 4, picture, side);
    meter.add(seen, 0, seen.width * seen.height, windowMeans(rgb, 3, picture, side).data);
    windowMm = (side * MM_PER_INCH) / artwork.ppi;
  }
  return { width, height, rgb, difference: meter.result(), windowMm };
}
