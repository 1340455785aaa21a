import { dirname, resolve } from "node:path";
import { changesBetween, sentence } from "../language/changes/changes.ts";
import { FileError } from "../language/project.ts";
import { type Run, readRuns } from "../language/runs.ts";
import { counted } from "../language/words.ts";
import { jobFingerprint } from "../output/fingerprint.ts";
import { Revision, RevisionError } from "../revisions/git.ts";
import { filesOfCommit } from "./commit.ts";
import { openJob, pictureFiles, type ReadableJob } from "./open.ts";

/** The file of a recipe's runs, beside it. */
export function runsFile(recipe: string): string {
  return `${recipe.replace(/\.sep\.ya?ml$|\.ya?ml$/i, "")}.runs.yaml`;
}

/** The runs of a job; none where there is no file. Throws FileError where the file is something else. */
export async function runsOf({ project, files }: ReadableJob): Promise<Run[]> {
  const file = runsFile(project.main.file);
  if (!(await files.exists(file))) return [];
  const runs = readRuns(file, await files.readText(file));
  if (!runs) throw new FileError(file, "it is no list of runs as platewright run writes it");
  return runs;
}

/** What a reorder wants to know of a setup's last run, and of what changed since; empty where it was never printed. */
export async function lastRunTexts(job: ReadableJob, setup: string): Promise<string[]> {
  const runs = await runsOf(job).catch((error: unknown) => {
    // A ticket goes to press without it.
    if (error instanceof FileError) return [];
    throw error;
  });
  const run = runs.filter((one) => one.setup === setup).at(-1);
  if (!run) return [];
  const films = Object.entries(run.films ?? {}).map(([name, digest]) => `${name} ${digest}`);
  return [
    `${run.date}: ${counted(run.printed, "garment")} on ${run.garments.join(", ")}, ${run.spoiled} spoiled${run.order === undefined ? "" : `, order ${run.order}`}`,
    ...(run.changed === undefined ? [] : [`changed on press: ${run.changed}`]),
    ...(films.length === 0 ? [] : [`films: ${films.join(", ")}`]),
    ...(run.readings === undefined ? [] : [`readings of the print: ${run.readings.file}`]),
    ...(await changesSince(job, run)).map((text) => `since then: ${text}`),
  ];
}

async function changesSince(job: ReadableJob, run: Run): Promise<string[]> {
  const { project, files, recipe } = job;
  const now = await jobFingerprint(project, pictureFiles(job), files.within);
  if (run.recipe === now) return ["nothing has changed"];
  const before = run.commit === undefined ? undefined : await recipeAt(job, run.commit);
  if (!before) return [`the job has changed (recipe ${run.recipe} then, ${now} now)`];
  const changes = changesBetween(before, recipe).map(sentence);
  return changes.length > 0 ? changes : ["artwork, readings or comments have changed"];
}

/** The recipe as a commit has it; undefined where it cannot be read there. */
async function recipeAt({ project, files }: ReadableJob, commit: string) {
  const file = resolve(project.main.file);
  try {
    const revision = await Revision.open(dirname(file), commit, files.within);
    return (await openJob(file, filesOfCommit(revision, files.within))).recipe;
  } catch (error) {
    if (error instanceof RevisionError || error instanceof FileError) return undefined;
    throw error;
  }
}

/** The commit that holds a job's recipe and shop file as they are; undefined where none does. */
export async function commitOf({ project, files }: ReadableJob): Promise<string | undefined> {
  try {
    const revision = await Revision.open(dirname(resolve(project.main.file)), "HEAD", files.within);
    for (const doc of [project.main, project.shop])
      if (doc && (await revision.readText(resolve(doc.file))) !== doc.text) return undefined;
    return revision.commit;
  } catch (error) {
    if (error instanceof RevisionError || error instanceof FileError) return undefined;
    throw error;
  }
}
