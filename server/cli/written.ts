import type { Artwork } from "../artwork/artwork.ts";
import { type ReadableJob, sourceOf } from "../jobs/open.ts";
import { printable } from "../language/printable.ts";
import { Staging } from "../output/staging.ts";
import { readForPlates } from "../render/artworks.ts";
import type { Console, Values } from "./command.ts";
import { type Progress, startProgress } from "./progress.ts";

/** What a command that writes files from a recipe's artwork works with. */
export interface Writing {
  readonly artwork: Artwork;
  readonly staging: Staging;
  readonly progress: Progress;
}

/** Where such a command writes, and what it must not find there. */
export interface Target {
  readonly folder: string;
  /** Files that it will write. */
  readonly names: readonly string[];
  readonly ppi: number | undefined;
  /** Resolution of drawings where `ppi` is not given. */
  readonly drawingPpi?: number;
}

/**
 * Claims the target, reads the artwork, shows progress while `work` runs, and prints the report that it gives. Work
 * that fails leaves nothing behind.
 */
export async function writing(
  job: ReadableJob,
  { folder, names, ppi, drawingPpi }: Target,
  values: Values,
  console: Console,
  work: (writing: Writing) => Promise<string>,
): Promise<void> {
  const progress = startProgress(console);
  const staging = await Staging.open(folder, { force: values.force === true });
  try {
    await staging.claim(names);
    const artwork = await readForPlates(job.recipe, await sourceOf(job), { ppi, drawingPpi });
    for (const note of artwork.notes)
      console.err.write(`${printable(`${job.artworkFile}: note: ${note}`)}\n`);
    const report = await work({ artwork, staging, progress });
    progress.end();
    console.out.write(report);
  } catch (error) {
    progress.end();
    staging.discard();
    throw error;
  }
}

/** Bounds of `--ppi`: below, nothing can be seen; above, no garment shows a difference. */
export const LEAST_PPI = 1;
export const MOST_PPI = 2400;

/** `3600 × 4200 pixels at 300 ppi`. */
export function pixelLine({ picture, ppi }: Artwork): string {
  return `${picture.width} × ${picture.height} pixels at ${Number(ppi.toFixed(1))} ppi`;
}
