import { constants } from "node:fs";
import { access, stat } from "node:fs/promises";
import { delimiter, isAbsolute, join } from "node:path";

/**
 * Where a program lies, by an absolute path as `PATH` has it. Never out of the working folder, where some systems look
 * first and a repository could put a program of its own.
 */
export async function programOnPath(...names: readonly string[]): Promise<string | undefined> {
  for (const folder of (process.env.PATH ?? "").split(delimiter)) {
    if (!isAbsolute(folder) || folder === process.cwd()) continue;
    for (const name of names) {
      const file = join(folder, name);
      const found = await access(file, constants.X_OK)
        .then(() => stat(file))
        .catch(() => undefined);
      if (found?.isFile()) return file;
    }
  }
  return undefined;
}
