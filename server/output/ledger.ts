import { createHash } from "node:crypto";
import { createReadStream } from "node:fs";
import { readFile, rename, writeFile } from "node:fs/promises";
import { basename, join } from "node:path";
import { pipeline } from "node:stream/promises";

/** Kept beside the files that it speaks of, so that it goes where they go. */
export const LEDGER_NAME = ".platewright-made.json";

/**
 * What Platewright wrote into one folder: a digest of each file. A file that stands there with other bytes was
 * made or changed by somebody else, and is theirs.
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
      const { files } = JSON.parse(await readFile(join(folder, LEDGER_NAME), "utf8"));
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
    const digest = await digestOfFile(join(this.#folder, name));
    return digest === undefined || (this.#made.get(name)?.includes(digest) ?? false);
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
    await writeFile(beside, `${JSON.stringify({ files }, null, 2)}\n`);
    await rename(beside, join(this.#folder, LEDGER_NAME));
  }
}

export function digestOf(bytes: Uint8Array): string {
  return createHash("sha256").update(bytes).digest("hex");
}

/** Undefined where there is no such file. */
export async function digestOfFile(file: string): Promise<string | undefined> {
  const hash = createHash("sha256");
  try {
    await pipeline(createReadStream(file), hash);
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === "ENOENT") return undefined;
    throw error;
  }
  return hash.digest("hex");
}
