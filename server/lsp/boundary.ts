import { realpath } from "node:fs/promises";
import { basename, dirname, join, relative, sep } from "node:path";

/** Why a file beyond the boundary is not read, and what to do. */
export const OUTSIDE =
  "it lies outside of the workspace; add its folder to the workspace, or switch on platewright.readOutside in the user settings";

/**
 * A recipe in a workspace may come from anybody: what it names is read from the workspace's folders alone, links
 * followed, unless the user says otherwise. A recipe that was opened from elsewhere is the user's own choice.
 */
export class Boundary {
  readonly #folders: () => readonly string[];
  /** The user's consent to reading from anywhere. */
  open = false;

  constructor(folders: () => readonly string[]) {
    this.#folders = folders;
  }

  /** Whether `file`, which the recipe or shop file `from` names, may be read. Both are paths on disk. */
  async allows(from: string, file: string): Promise<boolean> {
    const folders = this.#folders();
    if (this.open || folders.length === 0) return true;
    const finding = realPath(file);
    const real = await Promise.all(folders.map(realPath));
    const isIn = (path: string) => [...folders, ...real].some((folder) => within(folder, path));
    if (!isIn(from) && !isIn(await realPath(from))) return true;
    const target = await finding;
    return real.some((folder) => within(folder, target));
  }
}

function within(folder: string, path: string): boolean {
  const way = relative(folder, path);
  return way !== ".." && !way.startsWith(`..${sep}`) && way !== path;
}

/** Where a path leads once links are followed; of what does not exist, as far as it exists. */
async function realPath(path: string): Promise<string> {
  const found = await realpath(path).catch(() => undefined);
  if (found !== undefined) return found;
  const outer = dirname(path);
  return outer === path ? path : join(await realPath(outer), basename(path));
}
