import { type JobFiles, openJob } from "../jobs/open.ts";
import { standing } from "../language/finding.ts";
import type * as Formats from "../language/generated/formats.ts";
import { placed } from "../language/placed.ts";
import { type Console, type ExitStatus, UsageError } from "./command.ts";
import { findingLine } from "./findings.ts";

/** The shop file's text and data, if it is free of errors; otherwise its errors are written and the exit status comes back. */
export async function openShop(
  file: string,
  console: Console,
  files: JobFiles,
): Promise<{ readonly text: string; readonly shop: Formats.Shop } | ExitStatus> {
  const job = await openJob(file, files);
  const { main } = job.project;
  if (main.kind !== "shop") throw new UsageError(`${file} is a recipe; name a shop file (*.shop.yaml)`);
  const errors = standing(job.findings).filter(({ level }) => level === "error");
  if (errors.length === 0) return { text: await files.readText(file), shop: main.value as Formats.Shop };
  for (const finding of placed(errors, job.project)) console.err.write(findingLine(finding));
  return errors.every(({ rule }) => rule === "missing-file") ? 2 : 1;
}
