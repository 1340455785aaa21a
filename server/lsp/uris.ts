import { dirname, resolve } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";

/** The path of a file URI; undefined for documents that are on no disk. */
export function pathOfUri(uri: string): string | undefined {
  try {
    return fileURLToPath(uri);
  } catch {
    return undefined;
  }
}

/** The URI that `path`, written in the document `uri`, means. */
export function resolveUri(uri: string, path: string): string {
  const base = pathOfUri(uri);
  if (base !== undefined) return pathToFileURL(resolve(dirname(base), path)).href;
  return new URL(encodeURI(path), uri).href;
}
