import { disk } from "../../server/jobs/disk.ts";
import { atPreviewSize, checkWithPixels, ONE_JOB_BYTES } from "../../server/jobs/look.ts";
import { openJob, withText } from "../../server/jobs/open.ts";
import type { Finding } from "../../server/language/finding.ts";
import { StageCache } from "../../server/render/stage-cache.ts";

/** What `check` finds in a recipe; texts stand in place of files of these names. */
export async function checkedJob(
  file: string,
  texts: Readonly<Record<string, string>> = {},
): Promise<readonly Finding[]> {
  const files = Object.entries(texts).reduce((over, [name, text]) => withText(over, name, text), disk);
  const job = await openJob(file, files);
  return (await checkWithPixels(job, atPreviewSize(new StageCache(ONE_JOB_BYTES)))).findings;
}
