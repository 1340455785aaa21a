import type { Artwork } from "../artwork/artwork.ts";
import type { Lab } from "../engine/colour/cielab.ts";
import { fastLab } from "../engine/colour/fast-lab.ts";
import type { Picture, Tones } from "../engine/raster.ts";
import type { PlateTones } from "../engine/separate.ts";
import { MM_PER_INCH } from "../engine/units.ts";
import type { Recipe, Setup } from "../language/recipe.ts";
import { type ArtworkSource, previewArtwork, readyArtwork, viewed } from "./artworks.ts";
import { cachedPlates } from "./cached-plates.ts";
import { separationPlan } from "./plan/separation-plan.ts";
import { ignoreProgress, type OnProgress } from "./progress.ts";
import { printer } from "./proof.ts";
import type { StageCache } from "./stage-cache.ts";
import { separated } from "./strips.ts";

/** A plate that has a screen, as it goes to film, and as it was before its edges were moved. */
export interface PrintPlate {
  readonly name: string;
  readonly tones: Tones;
  /** Pixels of each tone, 0–255, of `tones`. */
  readonly histogram: Uint32Array;
  /** Tones before limits. */
  readonly unlimited: Tones;
  /** Tones before trap and limits. */
  readonly untrapped: Tones;
}

/** One job's plates with the artwork that they were made from, at one resolution. */
export class Print {
  readonly recipe: Recipe;
  readonly artwork: Artwork;
  /** By name, in the recipe's order; folded plates have no screen and are left out. */
  readonly plates: ReadonlyMap<string, PrintPlate>;
  readonly #proofs = new Map<string, Uint8Array>();

  constructor(recipe: Recipe, artwork: Artwork, plates: ReadonlyMap<string, PrintPlate>) {
    this.recipe = recipe;
    this.artwork = artwork;
    this.plates = plates;
  }

  get picture(): Picture {
    return this.artwork.picture;
  }

  get pixels(): number {
    return this.picture.width * this.picture.height;
  }

  /** Side of a pixel on the garment. */
  get pixelMm(): number {
    return MM_PER_INCH / this.artwork.ppi;
  }

  /** Area of a number of pixels on the garment. */
  areaCm2(pixels: number): number {
    return (pixels * this.pixelMm ** 2) / 100;
  }

  /** Plates that the setup prints, in its order. */
  printed(setup: Setup): PrintPlate[] {
    return setup.order.flatMap((step) =>
      typeof step === "string" ? [] : (this.plates.get(step.plate) ?? []),
    );
  }

  /** The garment after all stations of the setup, sRGB, three bytes a pixel. Kept for the next that asks. */
  proof(garment: string, setup: string): Uint8Array {
    const key = JSON.stringify([garment, setup]);
    const known = this.#proofs.get(key);
    if (known) return known;
    const rgb = this.proofWith(garment, this.recipe.setups.get(setup)!, this.tones());
    this.#proofs.set(key, rgb);
    return rgb;
  }

  /** The same with other plates. */
  proofWith(garment: string, setup: Setup, tones: ReadonlyMap<string, Tones>): Uint8Array {
    const rgb = new Uint8Array(this.pixels * 3);
    printer(this.recipe, garment, setup, tones)(0, this.pixels, rgb);
    return rgb;
  }

  tones(): Map<string, Tones> {
    return new Map([...this.plates].map(([name, plate]) => [name, plate.tones]));
  }
}

/** Makes the plates of a recipe for those who look at them. */
export async function makePrint(
  recipe: Recipe,
  artwork: Artwork,
  onProgress: OnProgress = ignoreProgress,
): Promise<Print> {
  const made = new Map<string, PrintPlate>();
  const options = { after: ["knockout", "trap"], onProgress } as const;
  const pixelsPerMm = artwork.ppi / MM_PER_INCH;
  for await (const plate of separated(artwork.picture, pixelsPerMm, separationPlan(recipe), options))
    made.set(plate.name, printPlate(plate, plate.after.get("trap")!, plate.after.get("knockout")!));
  const inOrder = [...recipe.plates.keys()].flatMap((name) => made.get(name) ?? []);
  return new Print(recipe, artwork, new Map(inOrder.map((plate) => [plate.name, plate])));
}

/** The same at preview size, with every stage that is there already taken from the cache. Throws ArtworkError. */
export async function previewPrint(
  recipe: Recipe,
  source: ArtworkSource,
  cache: StageCache,
  signal?: AbortSignal,
): Promise<Print> {
  const plan = separationPlan(recipe);
  const decoded = await previewArtwork(cache, viewed(source, recipe), recipe.artwork.widthMm, signal);
  const keyed = await readyArtwork(cache, decoded, plan, source, signal);
  const plates = new Map<string, PrintPlate>();
  for await (const plate of cachedPlates(cache, keyed, plan, signal)) {
    plates.set(plate.name, printPlate(plate, await plate.after("trap"), await plate.after("knockout")));
  }
  return new Print(recipe, keyed.artwork, plates);
}

/** CIELAB of a pixel of three or four bytes. */
export function labAt(data: Uint8Array, at: number): Lab {
  fastLab(data[at]!, data[at + 1]!, data[at + 2]!, LAB);
  return { L: LAB[0]!, a: LAB[1]!, b: LAB[2]! };
}

const LAB = new Float64Array(3);

function printPlate({ name, tones }: PlateTones, unlimited: Tones, untrapped: Tones): PrintPlate {
  return { name, tones, histogram: histogramOf(tones), unlimited, untrapped };
}

/** Pixels of each tone, 0–255. */
export function histogramOf(tones: Tones): Uint32Array {
  const counts = new Uint32Array(256);
  for (let i = 0; i < tones.length; i++) counts[tones[i]!]!++;
  return counts;
}
