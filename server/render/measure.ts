import type { Extent, Tones } from "../engine/raster.ts";
import { MM_PER_INCH } from "../engine/units.ts";
import type { Recipe } from "../language/recipe.ts";
import { type ArtworkSource, previewArtwork, readyArtwork, viewed } from "./artworks.ts";
import { cachedPlates, type KeyedPlate } from "./cached-plates.ts";
import type { Measurements, PlateMeasurement, TrappedPair } from "./measurements.ts";
import { separationPlan } from "./plan/separation-plan.ts";
import { trapPairs } from "./plan/trap-plan.ts";
import { keyOf, type StageCache } from "./stage-cache.ts";
import { thumbnail } from "./thumbnail.ts";
import { pairsThatTouch } from "./touching-pairs.ts";

/** Measures a recipe's plates at preview size. Throws ArtworkError. */
export async function measure(
  recipe: Recipe,
  source: ArtworkSource,
  cache: StageCache,
  signal?: AbortSignal,
): Promise<Measurements> {
  const plan = separationPlan(recipe);
  const decoded = await previewArtwork(cache, viewed(source, recipe), recipe.artwork.widthMm, signal);
  const keyed = await readyArtwork(cache, decoded, plan, source, signal);
  const { picture, info } = keyed.artwork;
  const plates = new Map<string, PlateMeasurement>();
  const made: KeyedPlate[] = [];
  for await (const plate of cachedPlates(cache, keyed, plan, signal)) {
    const { name, key, tones } = plate;
    made.push(plate);
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
  const artworkPpi = info.vector ? undefined : info.ppi;
  if (!recipe.neighbours) return { artworkPpi, plates };
  const trapped = await cache.of(
    keyOf("trapped", ...made.map(({ key }) => key), trapPairs(recipe), recipe.traps, recipe.neighbours),
    async () => trappedPairs(recipe, made, picture, MM_PER_INCH / keyed.artwork.ppi),
    () => 1000,
  );
  return { artworkPpi, plates, trapped };
}

async function trappedPairs(
  recipe: Recipe,
  made: readonly KeyedPlate[],
  picture: Extent,
  pixelMm: number,
): Promise<TrappedPair[]> {
  const untrapped = new Map<string, Tones>();
  for (const { name, after } of made) untrapped.set(name, await after("knockout"));
  return pairsThatTouch(recipe, picture, pixelMm, (name) => untrapped.get(name)!)
    .filter(({ trapMm }) => trapMm > 0)
    .map(({ plate, under, trapMm, lengthMm }) => ({ plate, under, trapMm, lengthMm }));
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
