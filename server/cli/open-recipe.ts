import { canBePrinted, type JobFiles, openJob, type ReadableJob } from "../jobs/open.ts";
import { standing } from "../language/finding.ts";
import { placed } from "../language/placed.ts";
import { type Console, type ExitStatus, UsageError } from "./command.ts";
import { findingLine } from "./findings.ts";

/** The recipe's job, if it is free of errors; otherwise its errors are written and the exit status comes back. */
export async function openRecipe(
  file: string,
  console: Console,
  files: JobFiles,
): Promise<ReadableJob | ExitStatus> {
  const job = await openJob(file, files);
  if (job.project.main.kind !== "recipe")
    throw new UsageError(
      `${file} is ${job.project.main.kind === "order" ? "an order" : "a shop file"}; name a recipe (*.sep.yaml)`,
    );
  const errors = standing(job.findings).filter(({ level }) => level === "error");
  if (errors.length === 0 && canBePrinted(job)) return job;
  for (const finding of placed(errors, job.project)) console.err.write(findingLine(finding));
  return errors.every(({ rule }) => rule === "missing-file") ? 2 : 1;
}
