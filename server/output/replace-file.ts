import { realpath, rename, rm, stat, writeFile } from "node:fs/promises";
import { dirname, join } from "node:path";
import { saying } from "./staging.ts";

/**
 * Puts a text in the place of a user's file, all of it or none: it is written beside it and renamed, keeps its rights,
 * and a link stays one. Throws OutputError.
 */
export async function replaceFile(file: string, text: string): Promise<void> {
  await saying(file, async () => {
    const place = await realpath(file);
    const { mode } = await stat(place);
    const part = join(dirname(place), `.platewright-${process.pid}.part`);
    try {
      await writeFile(part, text, { mode: mode & 0o777, flag: "wx" });
      await rename(part, place);
    } catch (error) {
      await rm(part, { force: true });
      throw error;
    }
  });
}
