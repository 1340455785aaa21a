import { access } from "node:fs/promises";
import type { Within } from "../files/boundary.ts";
import { fileState } from "../files/file-state.ts";
import { readText } from "../files/read.ts";
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
export async function diskText(uri: string, within?: Within): Promise<string> {
  return readText(onDisk(uri), within);
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
