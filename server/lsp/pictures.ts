import type { Model } from "../features/model.ts";
import { filesOf } from "../language/project.ts";
import { pathOfUri, uriFrom } from "./uris.ts";

/** The file that gives a recipe's print its size: its artwork's, else its first plate's. */
export function artworkOf({ uri, source }: Model): string | undefined {
  const first = filesOf(source).pictures[0];
  return first && fileOf(uri, first.file);
}

/** The files of the plates that others made, by the path that is written; a path that is none is told elsewhere. */
export function plateFilesOf({ uri, source }: Model): Record<string, string> {
  const plates = filesOf(source).pictures.filter(({ path }) => path[0] === "plates");
  return Object.fromEntries(plates.map(({ file }) => [file, fileOf(uri, file) ?? file]));
}

function fileOf(uri: string, path: string): string | undefined {
  const meant = uriFrom(uri, path);
  return meant === undefined ? undefined : pathOfUri(meant);
}
