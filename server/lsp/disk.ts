import { access, readFile } from "node:fs/promises";
import { LARGEST_TEXT } from "../language/document.ts";
import { fileState } from "../language/file-state.ts";
import { FileError } from "../language/project.ts";
import { pathOfUri } from "./uris.ts";

/** Changes with the file: kept answers are asked for under it. Throws FileError. */
export async function diskKey(uri: string): Promise<string> {
  const path = onDisk(uri);
  const state = await fileState(path);
  if (state === undefined) throw new FileError(path, "there is no such file");
  return state;
}

/** Throws FileError. */
export async function diskText(uri: string): Promise<string> {
  const path = onDisk(uri);
  const bytes = await readFile(path).catch(() => {
    throw new FileError(path, "it cannot be read");
  });
  if (bytes.length > LARGEST_TEXT) throw new FileError(path, "it is larger than 2 MB");
  return new TextDecoder().decode(bytes);
}

function onDisk(uri: string): string {
  const path = pathOfUri(uri);
  if (path === undefined) throw new FileError(uri, "it is on no disk");
  return path;
}

export function isThere(uri: string): Promise<boolean> {
  const path = pathOfUri(uri);
  // What lies on no disk of this machine cannot be missed here.
  if (path === undefined) return Promise.resolve(true);
  return access(path).then(
    () => true,
    () => false,
  );
}
