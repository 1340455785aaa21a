import { createHash } from "node:crypto";
import { existsSync } from "node:fs";
import { dirname, posix, relative, resolve, sep } from "node:path";
import type { Within } from "../files/boundary.ts";
import { readBytes, textOf } from "../files/read.ts";
import { LARGEST_TEXT } from "../language/document.ts";
import { FileError } from "../language/project.ts";
import { type GitFault, git } from "./run-git.ts";

/** Largest file that is taken out of a repository, in bytes. */
const LARGEST_BLOB = 1 << 30;

/** A revision cannot be read; one line says why. */
export class RevisionError extends Error {
  constructor(message: string) {
    super(message);
    this.name = "RevisionError";
  }
}

/** The folder is in no repository. */
export class NoRepository extends RevisionError {
  constructor() {
    super("this folder is in no git repository, so there is no commit to compare with");
  }
}

/**
 * One commit of the repository that holds a folder, through the `git` program. Nothing is checked out and nothing is
 * fetched, and nothing runs that the repository names (run-git.ts).
 */
export class Revision {
  /** The whole name of the commit. */
  readonly commit: string;
  /** The folder at the top of the working tree. */
  readonly top: string;
  readonly #folder: string;
  /** From the top to that folder. Asked of git, since either may be reached through a link. */
  readonly #prefix: string;
  readonly #within: Within;

  private constructor(commit: string, top: string, folder: string, prefix: string, within: Within) {
    this.commit = commit;
    this.top = top;
    this.#folder = folder;
    this.#prefix = prefix;
    this.#within = within;
  }

  /**
   * What is read from the disk instead (Git LFS) is read `within` alone. Throws RevisionError where there is no git, no
   * repository, or no such commit.
   */
  static async open(folder: string, name = "HEAD", within?: Within): Promise<Revision> {
    const places = await git(folder, ["rev-parse", "--show-toplevel", "--show-prefix"]).catch(
      (error: GitFault) => {
        if (error.kind === "missing")
          throw new RevisionError("git is not installed, so there is no commit to compare with");
        throw new NoRepository();
      },
    );
    const [top = "", prefix = ""] = new TextDecoder().decode(places).split("\n");
    const commit = await git(folder, ["rev-parse", "--verify", "--end-of-options", `${name}^{commit}`]).catch(
      async () => {
        const shallow = text(await git(folder, ["rev-parse", "--is-shallow-repository"])) === "true";
        const hint = shallow
          ? ", perhaps because this clone is shallow; git fetch --unshallow brings the whole history"
          : "";
        const what = name === "HEAD" ? "the repository has no commit yet" : `there is no commit "${name}"`;
        throw new RevisionError(what + hint);
      },
    );
    return new Revision(text(commit), top, folder, prefix, within);
  }

  async readText(file: string): Promise<string> {
    return textOf(file, await readBlob(file, await this.blob(file), this.#within, LARGEST_TEXT));
  }

  async exists(file: string): Promise<boolean> {
    return this.blob(file).then(
      () => true,
      () => false,
    );
  }

  /** The name of the content that the commit holds under this path; throws FileError where it holds none. */
  async blob(file: string): Promise<string> {
    // From the top, and run where there certainly is a folder: the file's own may be gone from the disk.
    const path = relative(resolve(this.#folder), resolve(file)).split(sep).join("/");
    const inside = posix.normalize(`${this.#prefix}${path}`);
    if (inside.startsWith("../")) throw new FileError(file, "it is outside of the repository");
    const found = await git(this.#folder, [
      "rev-parse",
      "--verify",
      "--end-of-options",
      `${this.commit}:${inside}`,
    ]).catch(() => {
      throw new FileError(file, `it is not in the commit ${this.commit.slice(0, 8)}`);
    });
    return text(found);
  }
}

/**
 * The content `blob` of a file of that repository. What Git LFS keeps elsewhere is taken from the disk, within the
 * boundary, where it is still the same. Throws FileError.
 */
export async function readBlob(
  file: string,
  blob: string,
  within?: Within,
  most = LARGEST_BLOB,
): Promise<Uint8Array> {
  const bytes = await git(nearestFolder(file), ["cat-file", "blob", blob], most).catch(
    ({ kind }: GitFault) => {
      throw new FileError(
        file,
        kind === "large"
          ? `its committed content has more than ${most / 1e6} MB`
          : "git cannot give out its committed content",
      );
    },
  );
  const pointer = bytes.length < 1024 ? new TextDecoder().decode(bytes) : "";
  const kept = /^version https:\/\/git-lfs[^\n]*\n(?:[^\n]*\n){0,9}?oid sha256:([0-9a-f]{64})$/m.exec(
    pointer,
  )?.[1];
  if (kept === undefined) return bytes;
  const onDisk = await readBytes(file, most, within).catch((error: unknown) => {
    if (error instanceof FileError) return new Uint8Array();
    throw error;
  });
  if (createHash("sha256").update(onDisk).digest("hex") === kept) return onDisk;
  throw new FileError(file, "Git LFS keeps its committed content outside of the repository");
}

/** Those of a folder's files that a repository holds: in its index, whether committed or not. None without git. */
export async function trackedIn(folder: string, names: readonly string[]): Promise<string[]> {
  if (names.length === 0) return [];
  const args = ["--literal-pathspecs", "ls-files", "-z", "--", ...names];
  const listed = await git(folder, args).catch(() => new Uint8Array());
  return new TextDecoder().decode(listed).split("\0").filter(Boolean);
}

/** The innermost folder on the way to a file that is on the disk. */
function nearestFolder(file: string): string {
  let folder = dirname(resolve(file));
  while (!existsSync(folder) && dirname(folder) !== folder) folder = dirname(folder);
  return folder;
}

function text(bytes: Uint8Array): string {
  return new TextDecoder().decode(bytes).trim();
}
