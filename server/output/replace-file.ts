import { realpath, rename, rm, stat, writeFile } from "node:fs/promises";
import { dirname, join, resolve } from "node:path";
import { saying } from "./staging.ts";

/** Rights of a new file, less what the user's mask takes off. */
const NEW_FILE = 0o666;

/**
 * Puts a text in the place of a user's file, all of it or none: it is written beside it and renamed, keeps its rights,
 * and a link stays one. With `make` a file that is not there is
 * made. Throws OutputError.
 */
export async function replaceFile(file: string, text: string, { make = false } = {}): Promise<void> {
  await saying(file, async () => {
    const place = await realpath(file).catch((error: NodeJS.ErrnoException) => {
      if (make && error.code === "ENOENT") return resolve(file);
      throw error;
    });
    const mode = (await stat(place).catch(() => undefined))?.mode ?? NEW_FILE;
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
