import { realpath } from "node:fs/promises";
import { basename, dirname, join, relative, sep } from "node:path";

/** The folders from which files may be read, links followed; undefined for everywhere. */
export type Within = readonly string[] | undefined;

/**
 * A recipe in a workspace may come from anybody: what it names is read from the workspace's folders alone, unless the
 * user says otherwise. A recipe that was opened from elsewhere is the user's own choice.
 */
export class Boundary {
  readonly #folders: () => readonly string[];
  /** The user's consent to reading from anywhere, or from these paths. */
  open = false;
  also: readonly string[] = [];

  constructor(folders: () => readonly string[]) {
    this.#folders = folders;
  }

  /** How far the files may lie that `from` names, a recipe or shop file on disk. */
  async of(from: string): Promise<Within> {
    const folders = this.#folders();
    if (this.open || folders.length === 0) return undefined;
    const named = folders.some((folder) => contains(folder, from));
    return named || (await isInside(from, folders)) ? [...folders, ...this.also] : undefined;
  }
}

/** Whether a path lies in one of the folders once links are followed. */
export async function isInside(path: string, within: Within): Promise<boolean> {
  if (within === undefined) return true;
  const [real, ...folders] = await Promise.all([path, ...within].map(realPath));
  return folders.some((folder) => contains(folder, real!));
}

function contains(folder: string, path: string): boolean {
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
