import { stat } from "node:fs/promises";

/** Another text once the file at a path has changed in any way; undefined where there is none. */
export async function fileState(path: string): Promise<string | undefined> {
  const found = await stat(path).catch(() => undefined);
  // The time of the last change of any kind too: the other can be set back, by a clock or by a copy.
  return found && `${found.ino} ${found.mtimeMs} ${found.ctimeMs} ${found.size}`;
}
