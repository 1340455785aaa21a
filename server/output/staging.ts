import { randomBytes } from "node:crypto";
import { mkdirSync, readdirSync, rmdirSync, rmSync } from "node:fs";
import { mkdir, rename, rm, writeFile } from "node:fs/promises";
import { join, resolve } from "node:path";
import { trackedIn } from "../revisions/git.ts";
import { digestOf, Ledger } from "./ledger.ts";

/** Output that cannot be written, with the one line to say so. */
export class OutputError extends Error {
  constructor(message: string) {
    super(message);
    this.name = "OutputError";
  }
}

const PART = /^\.platewright-(\d+)-[0-9a-f]{16}\.part$/;

/**
 * Signals that leave through exit while something is half written, so that it is taken away. At any other time they end
 * the process by themselves, whatever it is busy with.
 */
const SIGNALS = (
  [
    ["SIGINT", 130],
    ["SIGTERM", 143],
    ["SIGHUP", 129],
  ] as const
).map(([signal, status]) => [signal, () => process.exit(status)] as const);

/**
 * Files on their way into a folder. They are written beside their place and renamed when all are there, so that a
 * run that fails or is killed leaves no half file under a final name, and no half set of files either. What
 * Platewright did not write is never overwritten unless `force` says so.
 */
export class Staging {
  readonly #folder: string;
  readonly #part: string;
  readonly #created: string | undefined;
  readonly #force: boolean;
  readonly #ledger: Ledger;
  readonly #digests = new Map<string, string>();
  readonly #onExit = () => this.#discardNow();

  private constructor(folder: string, created: string | undefined, force: boolean, ledger: Ledger) {
    this.#folder = folder;
    this.#part = join(folder, `.platewright-${process.pid}-${randomBytes(8).toString("hex")}.part`);
    this.#created = created;
    this.#force = force;
    this.#ledger = ledger;
    process.once("exit", this.#onExit);
    for (const [signal, leave] of SIGNALS) process.on(signal, leave);
  }

  /** Makes the folder where it is missing. Throws OutputError where nothing can be written there. */
  static async open(folder: string, { force = false } = {}): Promise<Staging> {
    return saying(folder, async () => {
      const created = await mkdir(folder, { recursive: true });
      removeStaleParts(folder);
      const staging = new Staging(folder, created, force, await Ledger.open(folder));
      // Under a name that nobody foresees, and never into what stands there.
      mkdirSync(staging.#part);
      return staging;
    });
  }

  /** Throws OutputError if a file of these names stands there that Platewright did not write. Ask before long work. */
  async claim(names: readonly string[]): Promise<void> {
    for (const name of names) {
      // Asked even under force: a folder of that name cannot be replaced by a file.
      const free = await saying(join(this.#folder, name), () => this.#ledger.mayReplace(name));
      if (free || this.#force) continue;
      throw new OutputError(
        `${join(this.#folder, name)}: there is a file that Platewright did not write, or that was changed since; ` +
          "move it away, or overwrite it with --force",
      );
    }
  }

  async write(name: string, bytes: Uint8Array | string): Promise<{ readonly sha256: string }> {
    const data = typeof bytes === "string" ? new TextEncoder().encode(bytes) : bytes;
    await saying(this.#folder, () => writeFile(join(this.#part, name), data, { flag: "wx" }));
    const sha256 = digestOf(data);
    this.#digests.set(name, sha256);
    return { sha256 };
  }

  /**
   * Moves all files to their place. Earlier files of Platewright's that `retire` accepts and that are not among
   * the new ones are taken away, if nobody changed them and no repository holds them. Returns the names taken away.
   */
  async commit(retire: (name: string) => boolean = () => false): Promise<string[]> {
    await this.claim([...this.#digests.keys()]);
    const retired: string[] = [];
    for (const name of this.#ledger.names().filter(retire)) {
      if (!this.#digests.has(name) && (await this.#ledger.mayReplace(name))) retired.push(name);
    }
    const tracked = await trackedIn(this.#folder, retired);
    for (const name of tracked) retired.splice(retired.indexOf(name), 1);
    await saying(this.#folder, async () => {
      for (const [name, digest] of this.#digests) this.#ledger.expect(name, digest);
      await this.#ledger.save(this.#part);
      for (const name of this.#digests.keys()) await rename(join(this.#part, name), join(this.#folder, name));
      for (const name of retired) {
        await rm(join(this.#folder, name), { force: true });
        this.#ledger.forget(name);
      }
      for (const [name, digest] of this.#digests) this.#ledger.settle(name, digest);
      // What was expected came true: an older ledger says so too, should there be no room for a newer one.
      await this.#ledger.save(this.#part).catch((error: NodeJS.ErrnoException) => {
        if (error.code !== "ENOSPC" && error.code !== "EDQUOT") throw error;
      });
      await rm(this.#part, { recursive: true, force: true });
    });
    this.#settled();
    return retired;
  }

  /** Takes away what was written so far, and the folder if this run made it. */
  discard(): void {
    this.#settled();
    this.#discardNow();
  }

  #settled(): void {
    process.removeListener("exit", this.#onExit);
    for (const [signal, leave] of SIGNALS) process.removeListener(signal, leave);
  }

  #discardNow(): void {
    rmSync(this.#part, { recursive: true, force: true });
    if (this.#created === undefined) return;
    try {
      // From the innermost folder up to the first that this run made; rmdir refuses what is not empty.
      const first = resolve(this.#created);
      for (let folder = resolve(this.#folder); ; folder = join(folder, "..")) {
        rmdirSync(folder);
        if (folder === first) break;
      }
    } catch {
      // Somebody else put something there meanwhile.
    }
  }
}

/** Parts of runs that were killed: their process is gone. */
function removeStaleParts(folder: string): void {
  for (const name of readdirSync(folder)) {
    const pid = Number(PART.exec(name)?.[1]);
    if (pid && !isRunning(pid)) rmSync(join(folder, name), { recursive: true, force: true });
  }
}

function isRunning(pid: number): boolean {
  try {
    process.kill(pid, 0);
    return true;
  } catch (error) {
    return (error as NodeJS.ErrnoException).code === "EPERM";
  }
}

const REASONS: Readonly<Record<string, string>> = {
  EACCES: "no permission to write there",
  EPERM: "no permission to write there",
  EROFS: "the disk is read-only",
  ENOSPC: "the disk is full",
  EDQUOT: "the disk quota is used up",
  EFBIG: "the file is larger than the disk, or a limit set for this user, allows",
  ENOTDIR: "a part of this path is a file, not a folder",
  EEXIST: "there is a file of that name where a folder is needed",
  EISDIR: "there is a folder of that name",
  ENAMETOOLONG: "the name is too long",
};

export async function saying<T>(place: string, work: () => Promise<T>): Promise<T> {
  try {
    return await work();
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException;
    if (code === undefined || error instanceof OutputError) throw error;
    throw new OutputError(`${place}: cannot write: ${REASONS[code] ?? code}; nothing was changed`);
  }
}
