import { probeArtwork, readArtwork } from "../artwork/artwork.ts";
import type { Recipe } from "../language/recipe.ts";
import { MM_PER_INCH } from "../language/values/length.ts";
import type { Measurements, PlateMeasurement } from "./measurements.ts";
import { type Pace, unhurried } from "./pace.ts";
import { makePrint, type Print } from "./print.ts";
import { thumbnail } from "./thumbnail.ts";

/** Pixels of the picture that is measured: enough for coverage and thumbnails, few enough to keep up with typing. */
const PREVIEW_PIXELS = 1_000_000;

/** A recipe's plates at preview size. Throws ArtworkError. */
export async function previewPrint(
  recipe: Recipe,
  artworkFile: string,
  pace: Pace = unhurried,
  signal?: AbortSignal,
): Promise<Print> {
  const { widthMm } = recipe.artwork;
  const info = await probeArtwork(artworkFile, { widthMm, ...(signal ? { signal } : {}) });
  const squareInches = (widthMm * info.heightMm) / MM_PER_INCH ** 2;
  const preview = Math.sqrt(PREVIEW_PIXELS / squareInches);
  const ppi = info.vector ? preview : Math.min(info.ppi, preview);
  const artwork = await readArtwork(artworkFile, { widthMm, ppi, ...(signal ? { signal } : {}) });
  return makePrint(recipe, artwork, pace);
}

/** What a print says in numbers and small pictures. */
export async function measurementsOf(print: Print): Promise<Measurements> {
  const { width, height } = print.picture;
  const plates = new Map<string, PlateMeasurement>();
  for (const { name, tones, histogram } of print.plates.values()) {
    plates.set(name, {
      ...distribution(histogram, print.pixels),
      thumbnail: await thumbnail(tones, width, height),
    });
  }
  const { info } = print.artwork;
  return { artworkPpi: info.vector ? undefined : info.ppi, plates };
}

/** Mean tone, and the share of the print in each tenth of the tone scale. */
function distribution(counts: Uint32Array, pixels: number): Pick<PlateMeasurement, "coverage" | "histogram"> {
  const histogram = new Array<number>(10).fill(0);
  let sum = 0;
  for (let tone = 1; tone < 256; tone++) {
    sum += tone * counts[tone]!;
    histogram[Math.min(9, Math.floor((tone * 10) / 255))]! += counts[tone]! / pixels;
  }
  return { coverage: sum / (255 * pixels), histogram };
}
