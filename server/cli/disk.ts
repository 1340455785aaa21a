import { access, readFile, stat } from "node:fs/promises";
import { dirname, relative, resolve } from "node:path";
import { LARGEST_TEXT } from "../language/document.ts";
import { type FileAccess, FileError } from "../language/project.ts";

const REASONS: Readonly<Record<string, string>> = {
  ENOENT: "there is no such file",
  EACCES: "no permission to read it",
  EISDIR: "it is a folder",
  ENOTDIR: "a part of this path is a file, not a folder",
};

/** Files on disk, as a command line without an editor sees them. */
export const disk: FileAccess = {
  async readText(file) {
    let bytes: Uint8Array;
    try {
      const { size } = await stat(file);
      if (size > LARGEST_TEXT) {
        throw new FileError(
          file,
          `the file has ${(size / 1e6).toFixed(1)} MB; at most 2 MB are read, so split it`,
        );
      }
      bytes = await readFile(file);
    } catch (error) {
      if (error instanceof FileError) throw error;
      const { code = "" } = error as NodeJS.ErrnoException;
      throw new FileError(file, REASONS[code] ?? `it cannot be read (${code})`);
    }
    try {
      return new TextDecoder("utf-8", { fatal: true }).decode(bytes);
    } catch {
      throw new FileError(file, "it is not UTF-8 text; save it as UTF-8");
    }
  },

  exists(file) {
    return access(file).then(
      () => true,
      () => false,
    );
  },

  /** Relative to the working folder where that is shorter, as the user would type it. */
  resolve(fromFile, path) {
    const absolute = resolve(dirname(fromFile), path);
    const short = relative(process.cwd(), absolute);
    return short.startsWith("..") || short === "" ? absolute : short;
  },
};
