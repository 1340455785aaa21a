import type { Artwork } from "../artwork/artwork.ts";
import { type Difference, DifferenceMeter } from "../engine/print/difference.ts";
import { windowMeans } from "../engine/print/window-means.ts";
import { squareGrid } from "../engine/squares/grid.ts";
import { MM_PER_INCH } from "../engine/units.ts";
import type { Recipe, Setup } from "../language/recipe.ts";
import { mixesSquares } from "./plan/index-plan.ts";

/** How far a proof is from its artwork. */
export interface ProofDifference extends Difference {
  /** Side of the windows whose means were compared, where squares mix to colours; undefined for pixel by pixel. */
  readonly windowMm: number | undefined;
}

/** Squares along a window's side: enough for their mixture to settle, few enough for what is drawn. */
const WINDOW_SQUARES = 8;

/** Compares a setup's proof on a garment with its artwork, as it is being made. */
export class ProofMeter {
  readonly #artwork: Artwork;
  readonly #meter: DifferenceMeter;
  /** Pixels along a window's side; undefined where pixels are compared. */
  readonly #side: number | undefined;

  constructor(recipe: Recipe, setup: Setup, garment: string, artwork: Artwork) {
    this.#artwork = artwork;
    this.#meter = new DifferenceMeter(recipe.garments.get(garment)!.colour.lab);
    const { width, height } = artwork.picture;
    if (mixesSquares(recipe, setup))
      this.#side = Math.round(
        (WINDOW_SQUARES * width) / squareGrid(width, height, recipe.index.across).across,
      );
  }

  /** Looks at pixels `start` up to `end`, three bytes each from the beginning of `piece`. */
  add(start: number, end: number, piece: Uint8Array): void {
    if (this.#side === undefined) this.#meter.add(this.#artwork.picture, start, end, piece);
  }

  /** `rgb` is the whole proof, once all of it was looked at. */
  result(rgb: Uint8Array): ProofDifference {
    const side = this.#side;
    if (side === undefined) return { ...this.#meter.result(), windowMm: undefined };
    const { picture, ppi } = this.#artwork;
    const seen = windowMeans(picture.data, 4, picture, side);
    this.#meter.add(seen, 0, seen.width * seen.height, windowMeans(rgb, 3, picture, side).data);
    return { ...this.#meter.result(), windowMm: (side * MM_PER_INCH) / ppi };
  }
}

/** The same of a whole proof. */
export function proofDifference(
  recipe: Recipe,
  setup: Setup,
  garment: string,
  artwork: Artwork,
  rgb: Uint8Array,
): ProofDifference {
  const meter = new ProofMeter(recipe, setup, garment, artwork);
  meter.add(0, artwork.picture.width * artwork.picture.height, rgb);
  return meter.result(rgb);
}
