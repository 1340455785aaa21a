import { createHash } from "node:crypto";
import { lstat, rename, stat, writeFile } from "node:fs/promises";
import { basename, join } from "node:path";
import { pipeline } from "node:stream/promises";
import type { Within } from "../files/boundary.ts";
import { readText, withFile } from "../files/read.ts";
import { FileError } from "../language/project.ts";

/** Kept beside the files that it speaks of, so that it goes where they go. */
export const LEDGER_NAME = ".platewright-made.json";

/**
 * What Platewright wrote into one folder: a digest of each file. A file that stands there with other bytes was
 * made or changed by somebody else, and is theirs. The ledger counts in the very folder that it was written in: one that
 * came with a clone or an archive may say anything, and says nothing.
 */
export class Ledger {
  readonly #folder: string;
  /** Digests that count as ours, a list a name: two while an old file is being replaced. */
  readonly #made: Map<string, string[]>;

  private constructor(folder: string, made: Map<string, string[]>) {
    this.#folder = folder;
    this.#made = made;
  }

  /** An unreadable ledger counts as none: then every file is somebody else's. */
  static async open(folder: string): Promise<Ledger> {
    const made = new Map<string, string[]>();
    try {
      const { files, folder: writtenIn } = JSON.parse(await readText(join(folder, LEDGER_NAME), [folder]));
      if (writtenIn === (await identityOf(folder)))
        for (const [name, digests] of Object.entries(files)) {
          // A ledger speaks of its own folder, whoever wrote it.
          if (basename(name) === name) made.set(name, [digests].flat().map(String));
        }
    } catch {
      // Nothing written here yet.
    }
    return new Ledger(folder, made);
  }

  names(): string[] {
    return [...this.#made.keys()];
  }

  /** True where no file of that name stands, or the one that stands there is as Platewright wrote it. */
  async mayReplace(name: string): Promise<boolean> {
    const file = join(this.#folder, name);
    const there = await lstat(file).catch((error: NodeJS.ErrnoException) => {
      if (error.code === "ENOENT") return undefined;
      throw error;
    });
    if (there?.isDirectory()) throw Object.assign(new Error(), { code: "EISDIR" });
    // A link or a pipe is nothing of ours; to read it could lead anywhere.
    if (!there?.isFile()) return there === undefined;
    const digest = await digestOfFile(file);
    return digest !== undefined && (this.#made.get(name)?.includes(digest) ?? false);
  }

  /** Announces a file that is about to stand there, beside the one that may stand there now. */
  expect(name: string, digest: string): void {
    this.#made.set(name, [...new Set([...(this.#made.get(name) ?? []), digest])]);
  }

  /** The file stands there. */
  settle(name: string, digest: string): void {
    this.#made.set(name, [digest]);
  }

  forget(name: string): void {
    this.#made.delete(name);
  }

  /** Written in `part`, a folder for unfinished files, and renamed. */
  async save(part: string): Promise<void> {
    const files = Object.fromEntries([...this.#made].sort(([a], [b]) => (a < b ? -1 : 1)));
    const beside = join(part, LEDGER_NAME);
    await writeFile(
      beside,
      `${JSON.stringify({ folder: await identityOf(this.#folder), files }, null, 2)}\n`,
    );
    await rename(beside, join(this.#folder, LEDGER_NAME));
  }
}

/** A folder's own mark, which no copy of it bears: its number on the disk and the time of its making. */
async function identityOf(folder: string): Promise<string> {
  const { ino, birthtimeNs } = await stat(folder, { bigint: true });
  return digestOf(new TextEncoder().encode(`${ino} ${birthtimeNs}`)).slice(0, 16);
}

export function digestOf(bytes: Uint8Array): string {
  return createHash("sha256").update(bytes).digest("hex");
}

/** Undefined where there is no such plain file within the boundary. */
export async function digestOfFile(file: string, within?: Within): Promise<string | undefined> {
  const hash = createHash("sha256");
  try {
    await withFile(file, within, (handle, size) =>
      pipeline(handle.createReadStream({ end: Math.max(0, size - 1), autoClose: false }), hash),
    );
  } catch (error) {
    if (error instanceof FileError) return undefined;
    throw error;
  }
  return hash.digest("hex");
}
