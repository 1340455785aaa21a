import { ArtworkError } from "../artwork/artwork.ts";
import { byPlace, type Finding } from "../language/finding.ts";
import { FileError } from "../language/project.ts";
import { readForPlates } from "../render/artworks.ts";
import { makePrint, type Print, previewPrint } from "../render/print.ts";
import { ignoreProgress, type OnProgress } from "../render/progress.ts";
import type { StageCache } from "../render/stage-cache.ts";
import { checkProject, lookAtPixels } from "../rules/check.ts";
import { canBePrinted, type Job, type ReadableJob, sourceOf, unreadableArtwork } from "./open.ts";

/** Bytes of the stages of one job at preview size, for as long as it is looked at. */
export const ONE_JOB_BYTES = 200_000_000;

/** Reading and separating take about this share of the time, the rules the rest. */
const MAKING = 0.7;

/** A job's plates, and all that there is to say about it. */
export interface Looked {
  readonly print: Print;
  readonly findings: readonly Finding[];
}

/** Makes a job's print and has the rules look at it. Throws ArtworkError, FileError. */
export async function lookAt(
  job: ReadableJob,
  print: (job: ReadableJob, onProgress: OnProgress) => Promise<Print>,
  onProgress: OnProgress = ignoreProgress,
): Promise<Looked> {
  const made = await print(job, (done) => onProgress(done * MAKING));
  await onProgress(MAKING);
  const pixels = await lookAtPixels(made, (done) => onProgress(MAKING + done * (1 - MAKING)));
  return { print: made, findings: checkProject(job.project, { pixels, today: job.today }) };
}

/** The same for any job: artwork that cannot be read is a finding, and leaves no print. */
export async function checkWithPixels(
  job: Job,
  print: (job: ReadableJob, onProgress: OnProgress) => Promise<Print>,
  onProgress: OnProgress = ignoreProgress,
): Promise<Pick<Looked, "findings"> & Partial<Looked>> {
  if (!canBePrinted(job)) return { findings: job.findings };
  try {
    return await lookAt(job, print, onProgress);
  } catch (error) {
    if (!(error instanceof ArtworkError || error instanceof FileError)) throw error;
    return { findings: [...job.findings, unreadableArtwork(job.project, error)].sort(byPlace) };
  }
}

/** Plates at preview size, every stage that the cache has taken from there. */
export function atPreviewSize(cache: StageCache): (job: ReadableJob) => Promise<Print> {
  return async (job) => previewPrint(job.recipe, await sourceOf(job), cache);
}

/** Plates at the artwork's own resolution. */
export async function atPrintSize(job: ReadableJob, onProgress: OnProgress): Promise<Print> {
  return makePrint(job.recipe, await readForPlates(job.recipe, await sourceOf(job)), onProgress);
}
