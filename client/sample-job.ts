import { existsSync } from "node:fs";
import { cp, mkdir, rename, rm } from "node:fs/promises";
import { join } from "node:path";

/** What belongs to the sample job, from the extension's folder of samples. */
const PARTS = ["night-garden", "readings", "workshop.shop.yaml"];

/**
 * Copies the sample job into a new folder inside `parent` and tells the recipe's path. What stands there already stays
 * as it is. Throws where it cannot be written; then nothing is left behind.
 */
export async function copySampleJob(samples: string, parent: string): Promise<string> {
  const folder = freeName(join(parent, "sample-job"));
  const part = `${folder}.part-${process.pid}`;
  try {
    await mkdir(part);
    for (const name of PARTS) await cp(join(samples, name), join(part, name), { recursive: true });
    await rename(part, folder);
  } catch (error) {
    await rm(part, { recursive: true, force: true });
    throw error;
  }
  return join(folder, "night-garden", "night-garden.sep.yaml");
}

function freeName(start: string): string {
  let name = start;
  for (let n = 2; existsSync(name); n++) name = `${start}-${n}`;
  return name;
}
