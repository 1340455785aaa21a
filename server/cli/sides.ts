import { existsSync } from "node:fs";
import { resolve } from "node:path";
import { MAX_FILE_BYTES } from "../artwork/limits.ts";
import { readBytes } from "../files/read.ts";
import { filesOfCommit } from "../jobs/commit.ts";
import { atPreviewSize, checkWithPixels } from "../jobs/look.ts";
import { canBePrinted, type JobFiles, openJob } from "../jobs/open.ts";
import { fieldsOf } from "../language/partial-data.ts";
import { digestOf } from "../output/ledger.ts";
import type { Side } from "../output/review/review.ts";
import type { ArtworkSource } from "../render/artworks.ts";
import type { StageCache } from "../render/stage-cache.ts";
import { Revision } from "../revisions/git.ts";
import { UsageError } from "./command.ts";
import { placed } from "./findings.ts";

/**
 * One side of a review: a file, or `REV:PATH` of the repository around the working folder, with shop file, readings
 * and artwork at that revision too. Throws UsageError, FileError, RevisionError.
 */
export async function openSide(name: string, cache: StageCache, onDisk: JobFiles): Promise<Side> {
  const { file, files } = await filesOf(name, onDisk);
  const job = await openJob(file, files);
  const { project, recipe } = job;
  if (project.main.kind !== "recipe")
    throw new UsageError(`${name} is no recipe; name a recipe (*.sep.yaml)`);
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

/** A name of a file on disk is that file; else what stands before the first colon is a revision. */
export async function filesOf(
  name: string,
  onDisk: JobFiles,
): Promise<{ readonly file: string; readonly files: JobFiles }> {
  const colon = name.indexOf(":");
  if (colon < 0 || existsSync(name)) return { file: name, files: onDisk };
  const [rev, path] = [name.slice(0, colon), name.slice(colon + 1)];
  if (rev === "" || path === "")
    throw new UsageError(
      `"${name}" names no file; write a file, or REV:PATH such as HEAD~1:jobs/job.sep.yaml`,
    );
  const here = process.cwd();
  const revision = await Revision.open(here, rev, onDisk.within);
  // As git has it: from the top of the repository, or with ./ from the working folder.
  const file = /^\.\.?(?:\/|$)/.test(path) ? resolve(here, path) : resolve(revision.top, path);
  return { file, files: filesOfCommit(revision, onDisk.within) };
}

async function bytesOf({ file, stored, within }: ArtworkSource): Promise<Uint8Array> {
  return stored ? stored.read() : readBytes(file, MAX_FILE_BYTES, within);
}
