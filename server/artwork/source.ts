import type { Within } from "../files/boundary.ts";
import { openInside, upTo } from "../files/read.ts";
import { FileError } from "../language/project.ts";
import { ArtworkError } from "./artwork-error.ts";
import { MAX_FILE_BYTES } from "./limits.ts";

/**
 * All bytes of a plain file, read in one go, so that what is decoded is one state of the file.
 * Throws ArtworkError: missing, folder, unreadable, empty, too-large, changed.
 */
export async function readSource(file: string, within: Within): Promise<Uint8Array> {
  try {
    const handle = await openInside(file, within);
    try {
      const before = await handle.stat();
      refuseUnlessPlain(file, before);
      const bytes = await upTo(handle, before.size);
      const after = await handle.stat();
      const grown = bytes.length !== before.size || after.size !== before.size;
      if (grown || before.mtimeMs !== after.mtimeMs) {
        throw new ArtworkError(
          file,
          "changed",
          "the file changed while it was read; try again once it is saved",
        );
      }
      return bytes;
    } finally {
      await handle.close();
    }
  } catch (error) {
    throw error instanceof ArtworkError ? error : fromSystem(file, error);
  }
}

function refuseUnlessPlain(file: string, found: { isFile(): boolean; isDirectory(): boolean; size: number }) {
  if (found.isDirectory()) {
    throw new ArtworkError(file, "folder", "this is a folder; name the artwork file in it");
  }
  if (!found.isFile()) {
    throw new ArtworkError(file, "folder", "this is a device or a pipe; name a file that holds the artwork");
  }
  if (found.size === 0) {
    throw new ArtworkError(file, "empty", "the file is empty (0 bytes); save or copy the artwork again");
  }
  if (found.size > MAX_FILE_BYTES) {
    throw new ArtworkError(
      file,
      "too-large",
      `the file has ${mebibytes(found.size)}, the limit is ${mebibytes(MAX_FILE_BYTES)}; save it compressed or at a lower resolution`,
    );
  }
}

function fromSystem(file: string, error: unknown): ArtworkError {
  // What lies beyond the boundary.
  if (error instanceof FileError) return new ArtworkError(file, "unreadable", error.reason, { cause: error });
  const code = error instanceof Error && "code" in error ? String(error.code) : "";
  if (code === "ENOENT" || code === "ENOTDIR") {
    return new ArtworkError(file, "missing", "there is no such file; check the path", { cause: error });
  }
  if (code === "EACCES" || code === "EPERM") {
    return new ArtworkError(file, "unreadable", "no permission to read the file; change its permissions", {
      cause: error,
    });
  }
  return new ArtworkError(
    file,
    "unreadable",
    `the file cannot be read (${code || error}); check disk and path`,
    {
      cause: error,
    },
  );
}

function mebibytes(bytes: number): string {
  return `${Math.ceil(bytes / 1024 / 1024)} MiB`;
}
