import { constants } from "node:fs";
import { type FileHandle, open, realpath, stat } from "node:fs/promises";
import { LARGEST_TEXT } from "../language/document.ts";
import { OUTSIDE } from "../language/outside.ts";
import { FileError } from "../language/project.ts";
import { isInside, type Within } from "./boundary.ts";

const REASONS: Readonly<Record<string, string>> = {
  ENOENT: "there is no such file",
  EACCES: "no permission to read it",
  EISDIR: "it is a folder",
  ENOTDIR: "a part of this path is a file, not a folder",
};

/** An opened file, folder or device within the boundary. Throws FileError beyond it, else the system's errors. */
export async function openInside(path: string, within: Within): Promise<FileHandle> {
  // Without waiting for a pipe's writer. What was opened is judged, so that nothing can take its place between.
  const file = await open(path, constants.O_RDONLY | (constants.O_NONBLOCK ?? 0));
  try {
    if (within !== undefined) {
      const [opened, real] = [await file.stat(), await realpath(path).catch(() => path)];
      const there = await stat(real).catch(() => undefined);
      if (there?.ino !== opened.ino || there.dev !== opened.dev || !(await isInside(real, within)))
        throw new FileError(path, OUTSIDE);
    }
    return file;
  } catch (error) {
    await file.close();
    throw error;
  }
}

/** An opened plain file of a known size, for as long as `use` runs. Throws FileError; errors of `use` as they are. */
export async function withFile<T>(
  path: string,
  within: Within,
  use: (file: FileHandle, size: number) => Promise<T>,
): Promise<T> {
  const file = await openInside(path, within).catch((error) => {
    throw error instanceof FileError ? error : told(path, error);
  });
  try {
    const opened = await file.stat();
    if (opened.isDirectory()) throw new FileError(path, "it is a folder");
    if (!opened.isFile()) throw new FileError(path, "it is a device or a pipe, not a file");
    return await use(file, opened.size);
  } finally {
    await file.close();
  }
}

/** All bytes of a plain file of at most `most` bytes. Throws FileError. */
export function readBytes(path: string, most: number, within?: Within): Promise<Uint8Array> {
  return withFile(path, within, async (file, size) => {
    if (size > most) throw new FileError(path, tooLarge(size, most));
    const bytes = await upTo(file, size);
    if (bytes.length > size)
      throw new FileError(path, "it changed while it was read; try again once it is saved");
    return bytes;
  });
}

/** A file's bytes, and one more than `size` where there are more: some grow while they are read, some never end. */
export async function upTo(file: FileHandle, size: number): Promise<Uint8Array> {
  const bytes = new Uint8Array(size + 1);
  let length = 0;
  for (let read = -1; read !== 0 && length < bytes.length; length += read)
    ({ bytesRead: read } = await file.read(bytes, length));
  return bytes.subarray(0, length);
}

/** A text of at most 2 MB. Throws FileError. */
export async function readText(path: string, within?: Within): Promise<string> {
  return textOf(path, await readBytes(path, LARGEST_TEXT, within));
}

/** The text that the bytes of a file are. Throws FileError. */
export function textOf(path: string, bytes: Uint8Array): string {
  if (bytes.length > LARGEST_TEXT) throw new FileError(path, tooLarge(bytes.length, LARGEST_TEXT));
  try {
    return new TextDecoder("utf-8", { fatal: true }).decode(bytes);
  } catch {
    throw new FileError(path, "it is not UTF-8 text; save it as UTF-8");
  }
}

function tooLarge(size: number, most: number): string {
  return `the file has ${(size / 1e6).toFixed(1)} MB; at most ${most / 1e6} MB are read, so split it`;
}

function told(path: string, error: NodeJS.ErrnoException): FileError {
  return new FileError(path, REASONS[error.code ?? ""] ?? `it cannot be read (${error.code})`);
}
