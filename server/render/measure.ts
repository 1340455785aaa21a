import type { Tones } from "../engine/raster.ts";
import type { Recipe } from "../language/recipe.ts";
import { type ArtworkSource, previewArtwork, readyArtwork } from "./artworks.ts";
import { cachedPlates } from "./cached-plates.ts";
import type { Measurements, PlateMeasurement } from "./measurements.ts";
import { separationPlan } from "./plan.ts";
import type { StageCache } from "./stage-cache.ts";
import { thumbnail } from "./thumbnail.ts";

/** Measures a recipe's plates at preview size. Throws ArtworkError. */
export async function measure(
  recipe: Recipe,
  source: ArtworkSource,
  cache: StageCache,
  signal?: AbortSignal,
): Promise<Measurements> {
  const plan = separationPlan(recipe);
  const { widthMm, view } = recipe.artwork;
  const decoded = await previewArtwork(cache, { ...source, view }, widthMm, signal);
  const keyed = await readyArtwork(cache, decoded, plan.preparation, signal);
  const { picture, info } = keyed.artwork;
  const plates = new Map<string, PlateMeasurement>();
  for await (const { name, key, tones } of cachedPlates(cache, keyed, plan, signal)) {
    const measured = await cache.of(
      `measured ${key}`,
      async () => ({
        ...distribution(tones),
        thumbnail: await thumbnail(tones, picture.width, picture.height),
      }),
      (plate) => plate.thumbnail.length + 200,
    );
    plates.set(name, measured);
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
