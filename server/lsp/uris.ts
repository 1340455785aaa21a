import { fileURLToPath, pathToFileURL } from "node:url";
import { pathProblem, resolvedFrom } from "../files/paths.ts";
import { FileError } from "../language/project.ts";

/** The path of a file URI; undefined for documents that are on no disk. */
export function pathOfUri(uri: string): string | undefined {
  try {
    return fileURLToPath(uri);
  } catch {
    return undefined;
  }
}

/**
 * The URI that `path`, written in the document `uri`, means: of the same kind as the document's own. Throws FileError
 * where it is no path, or nothing lies beside the document.
 */
export function resolveUri(uri: string, path: string): string {
  const base = pathOfUri(uri);
  if (base !== undefined) return pathToFileURL(resolvedFrom(base, path)).href;
  const problem = pathProblem(path);
  if (problem !== undefined) throw new FileError(path, problem);
  const meant = URL.canParse(encodeURI(path), uri) ? new URL(encodeURI(path), uri) : undefined;
  if (meant?.protocol !== new URL(uri).protocol)
    throw new FileError(path, "nothing lies beside this document");
  return meant.href;
}

/** The same, undefined where it is none. */
export function uriFrom(uri: string, path: string | undefined): string | undefined {
  try {
    return path === undefined ? undefined : resolveUri(uri, path);
  } catch (error) {
    if (error instanceof FileError) return undefined;
    throw error;
  }
}
