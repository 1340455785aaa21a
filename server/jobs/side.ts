import { MAX_FILE_BYTES } from "../artwork/limits.ts";
import { readBytes } from "../files/read.ts";
import { fieldsOf } from "../language/partial-data.ts";
import { placed } from "../language/placed.ts";
import { digestOf } from "../output/ledger.ts";
import type { Side } from "../output/review/review.ts";
import type { ArtworkSource } from "../render/artworks.ts";
import type { StageCache } from "../render/stage-cache.ts";
import { atPreviewSize, checkWithPixels } from "./look.ts";
import { canBePrinted, type Job } from "./open.ts";

/** A recipe's job as one side of a review, with its plates at preview size. Throws FileError. */
export async function sideOf(name: string, job: Job, cache: StageCache): Promise<Side> {
  const { project, recipe, files } = job;
  const { print, findings } = await checkWithPixels(job, atPreviewSize(cache));
  const side = {
    name,
    levels: fieldsOf(fieldsOf(project.shop?.value).rules),
    findings: placed(findings, project).map(({ from, to: _, ...finding }) => ({
      ...finding,
      line: from.line,
    })),
  };
  if (!recipe || !print || !canBePrinted(job)) return { ...side, made: undefined };
  const artworkDigest = digestOf(await bytesOf(await files.artwork(job.artworkFile)));
  return { ...side, made: { recipe, print, artworkDigest } };
}

async function bytesOf({ file, stored, within }: ArtworkSource): Promise<Uint8Array> {
  return stored ? stored.read() : readBytes(file, MAX_FILE_BYTES, within);
}
