import { smallestMarkMm } from "../engine/press/smallest-mark.ts";
import { compensatedTones } from "../engine/print/gain.ts";
import type { Screening as EngineScreening } from "../engine/screen/halftone.ts";
import { MM_PER_INCH } from "../engine/units.ts";
import { gainOf } from "../language/readings/gain.ts";
import type { Plate, Recipe, Screening } from "../language/recipe.ts";

/**
 * Film tone 0–1 for each plate tone 0–255: what the film must ask for, so that the print gives the plate's tone, and no
 * dot that the screen cannot hold. Where nothing was measured, or the shop wants its films as they are, the plate's tone
 * itself.
 */
export function filmCurve(recipe: Recipe, plate: Plate): Float64Array {
  const gain = gainOf(recipe.inks.get(plate.ink)!.gain ?? plate.screening.gain);
  if (gain && plate.screening.compensate) return compensatedTones(gain, recipe.screening.smallestDot);
  return Float64Array.from({ length: 256 }, (_, tone) => tone / 255);
}

/** How a plate's tones become dots, in the engine's terms. */
export function filmScreening({
  method,
  rulingLpi,
  angle,
  dot,
  grainMm,
  squares,
}: Screening): EngineScreening {
  if (method === "am") return { method, rulingLpi, angle, dot };
  if (method === "index") return { method, grainMm, ...squares! };
  return { method, grainMm };
}

/** A plate's own screening: stochastic plates have each a mask of their own, by their place in the recipe. */
export function plateScreening(recipe: Recipe, plate: Plate): EngineScreening {
  const screening = filmScreening(plate.screening);
  if (screening.method === "am" || screening.method === "index") return screening;
  const stochastic = [...recipe.plates.values()].filter(
    (other) => other.screening.method !== "am" && other.screening.method !== "index",
  );
  return { ...screening, mask: stochastic.findIndex(({ name }) => name === plate.name) };
}

/** From so many pixels on a smallest dot holds a disc of the next larger whole side, wherever it lies on the grid. */
const LEAST_RAISED = 4;

/**
 * The same in whole film pixels: never less than what is asked for; of what follows from dots of few pixels or from
 * grains, the nearest, so that the smallest dots and grains themselves stay.
 */
export function filmSmallestMarkPixels(plate: Plate, filmDpi: number): number {
  const { smallestMarkMm, method } = plate.screening;
  // A square is a mark of its own, and prints as it is.
  if (method === "index" && smallestMarkMm === undefined) return 1;
  const pixels = (filmSmallestMark(plate) * filmDpi) / MM_PER_INCH;
  const raised = smallestMarkMm !== undefined || (method === "am" && pixels >= LEAST_RAISED);
  return Math.max(1, raised ? Math.ceil(pixels - 1e-6) : Math.round(pixels));
}

/** Millimetres across the smallest mark that a plate's film may have. */
export function filmSmallestMark({ screening }: Plate): number {
  return screening.smallestMarkMm ?? smallestMarkMm(filmScreening(screening), screening.smallestDot);
}
