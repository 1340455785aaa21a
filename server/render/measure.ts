import { probeArtwork, readArtwork } from "../artwork/artwork.ts";
import type { Tones } from "../engine/raster.ts";
import type { Recipe } from "../language/recipe.ts";
import { MM_PER_INCH } from "../language/values/length.ts";
import type { Measurements, PlateMeasurement } from "./measurements.ts";
import { makePlates } from "./separation.ts";
import { thumbnail } from "./thumbnail.ts";

/** Pixels of the picture that is measured: enough for coverage and thumbnails, few enough to keep up with typing. */
const PREVIEW_PIXELS = 1_000_000;

/** Measures a recipe's plates at preview size. Throws ArtworkError. */
export async function measure(
  recipe: Recipe,
  artworkFile: string,
  signal?: AbortSignal,
): Promise<Measurements> {
  const { widthMm } = recipe.artwork;
  const info = await probeArtwork(artworkFile, { widthMm, ...(signal ? { signal } : {}) });
  const squareInches = (widthMm * info.heightMm) / MM_PER_INCH ** 2;
  const preview = Math.sqrt(PREVIEW_PIXELS / squareInches);
  const ppi = info.vector ? preview : Math.min(info.ppi, preview);
  const artwork = await readArtwork(artworkFile, { widthMm, ppi, ...(signal ? { signal } : {}) });
  const { width, height } = artwork.picture;
  const plates = new Map<string, PlateMeasurement>();
  for await (const { name, tones } of makePlates(recipe, artwork, () => signal?.throwIfAborted())) {
    plates.set(name, { ...distribution(tones), thumbnail: await thumbnail(tones, width, height) });
  }
  return { artworkPpi: info.vector ? undefined : info.ppi, plates };
}

/** Mean tone, and the share of the print in each tenth of the tone scale. */
function distribution(tones: Tones): Pick<PlateMeasurement, "coverage" | "histogram"> {
  const counts = new Uint32Array(256);
  for (let i = 0; i < tones.length; i++) counts[tones[i]!]!++;
  const histogram = new Array<number>(10).fill(0);
  let sum = 0;
  for (let tone = 1; tone < 256; tone++) {
    sum += tone * counts[tone]!;
    histogram[Math.min(9, Math.floor((tone * 10) / 255))]! += counts[tone]! / tones.length;
  }
  return { coverage: sum / (255 * tones.length), histogram };
}
