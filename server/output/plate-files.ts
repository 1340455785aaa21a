import type { Artwork } from "../artwork/artwork.ts";
import { countLost, type LostRuns } from "../engine/lost-parts.ts";
import type { Tones } from "../engine/raster.ts";
import type { FinishedPlate, PlateTones } from "../engine/separate.ts";
import { sumOfTones } from "../engine/tone-words.ts";
import { MM_PER_INCH } from "../engine/units.ts";
import type { Recipe } from "../language/recipe.ts";
import type { TrappedPair } from "../render/measurements.ts";
import { type LeftOut, leftOutOf } from "./films/left-out.ts";
import { platePng } from "./png.ts";
import type { Staging } from "./staging.ts";

export const MANIFEST_NAME = "manifest.json";

/** What stands in `manifest.json`: enough to know, next year, what these plates are and where they came from. */
export interface Manifest {
  readonly platewright: { readonly manifest: 1 };
  readonly title: string;
  readonly recipe: SourceNote;
  readonly artwork: SourceNote;
  readonly width: number;
  readonly height: number;
  readonly ppi: number;
  readonly widthMm: number;
  readonly heightMm: number;
  readonly plates: readonly ManifestPlate[];
  /** Plates without a screen, and whose screen carries their detail. */
  readonly folded: readonly { readonly name: string; readonly into: string }[];
  /** Plates that are spread under those that they touch; where the recipe traps neighbours. */
  readonly traps?: readonly TrappedPair[];
}

export interface SourceNote {
  readonly file: string;
  readonly sha256: string;
}

export interface ManifestPlate {
  readonly name: string;
  readonly file: string;
  readonly sha256: string;
  readonly ink: string;
  readonly purpose: string;
  /** Mean tone over the whole print, in percent. */
  readonly coverage: number;
  /** Area of solid ink that this coverage amounts to. */
  readonly inkCm2: number;
  /** Lines that were left out and gaps that were closed, where the plate's screen has a thinnest of either. */
  readonly leftOut?: Pick<LeftOut, "lines" | "gaps">;
}

/** What is known of the plates before they are written. */
export interface PlatesAbout {
  readonly recipe: SourceNote;
  readonly artwork: SourceNote;
  readonly traps?: readonly TrappedPair[] | undefined;
}

const MOST_PENDING = 3;

export function plateFileName(plate: string): string {
  return `${plate}.png`;
}

/** Writes each plate as it comes, then the manifest. The plates' tones are not kept. */
export async function writePlates(
  staging: Staging,
  recipe: Recipe,
  artwork: Artwork,
  { traps, ...sources }: PlatesAbout,
  plates: AsyncIterable<PlateTones & Partial<Pick<FinishedPlate, "lost">>>,
): Promise<Manifest> {
  const { width, height } = artwork.picture;
  const { ppi } = artwork;
  const mm = (pixels: number) => (pixels / ppi) * MM_PER_INCH;
  const pending: Promise<ManifestPlate>[] = [];
  try {
    for await (const { name, tones, lost } of plates) {
      // Encoding runs on other threads while the next plates are made; a few at a time bound the memory.
      await pending.at(-MOST_PENDING);
      const writing = writeOne(name, tones, lost);
      // Its failure is told where it is waited for, not the moment it happens.
      writing.catch(() => {});
      pending.push(writing);
    }
  } finally {
    // Whatever went wrong, nothing may still be written when the caller takes the folder away.
    await Promise.allSettled(pending);
  }
  const places = [...recipe.plates.keys()];
  const written = (await Promise.all(pending)).sort(
    (a, b) => places.indexOf(a.name) - places.indexOf(b.name),
  );
  const manifest: Manifest = {
    platewright: { manifest: 1 },
    title: recipe.title,
    ...sources,
    width,
    height,
    ppi: rounded(ppi, 3),
    widthMm: rounded(mm(width), 2),
    heightMm: rounded(mm(height), 2),
    plates: written,
    folded: recipe.merges.map(({ fold, into }) => ({ name: fold, into })),
    ...(traps ? { traps: traps.map((pair) => ({ ...pair, lengthMm: rounded(pair.lengthMm, 1) })) } : {}),
  };
  await staging.write(MANIFEST_NAME, `${JSON.stringify(manifest, null, 2)}\n`);
  return manifest;

  async function writeOne(name: string, tones: Tones, lost?: LostRuns): Promise<ManifestPlate> {
    const { ink, purpose } = recipe.plates.get(name)!;
    const share = meanTone(tones);
    const file = plateFileName(name);
    const { sha256 } = await staging.write(file, await platePng(tones, width, height, ppi));
    const inkCm2 = rounded((share * mm(width) * mm(height)) / 100, 2);
    const { lines, gaps } = leftOutOf(undefined, 0, lost && countLost(lost, width), mm(1));
    const coverage = rounded(share * 100, 3);
    return {
      name,
      file,
      sha256,
      ink,
      purpose,
      coverage,
      inkCm2,
      ...(lost ? { leftOut: { lines, gaps } } : {}),
    };
  }
}

/** Mean tone, 0–1. */
export function meanTone(tones: Tones): number {
  if (tones.length === 0) return 0;
  return sumOfTones(tones) / (255 * tones.length);
}

function rounded(value: number, digits: number): number {
  return Number(value.toFixed(digits));
}
