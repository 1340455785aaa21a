import { existsSync } from "node:fs";
import { resolve } from "node:path";
import { filesOfCommit } from "../jobs/commit.ts";
import { type JobFiles, openJob } from "../jobs/open.ts";
import { sideOf } from "../jobs/side.ts";
import type { Side } from "../output/review/review.ts";
import type { StageCache } from "../render/stage-cache.ts";
import { Revision } from "../revisions/git.ts";
import { UsageError } from "./command.ts";

/**
 * One side of a review: a file, or `REV:PATH` of the repository around the working folder, with shop file, readings
 * and artwork at that revision too. Throws UsageError, FileError, RevisionError.
 */
export async function openSide(name: string, cache: StageCache, onDisk: JobFiles): Promise<Side> {
  const { file, files } = await filesOf(name, onDisk);
  const job = await openJob(file, files);
  if (job.project.main.kind !== "recipe")
    throw new UsageError(`${name} is no recipe; name a recipe (*.sep.yaml)`);
  return sideOf(name, job, cache);
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
