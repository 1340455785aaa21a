import { isInside, type Within } from "../files/boundary.ts";
import { resolvedFrom } from "../files/paths.ts";
import { OUTSIDE } from "../language/outside.ts";
import { FileError } from "../language/project.ts";
import type { ArtworkSource } from "../render/artworks.ts";
import { type Revision, readBlob } from "../revisions/git.ts";
import type { JobFiles } from "./open.ts";

/** Files as a commit has them, within the same boundary as those on disk. */
export function filesOfCommit(revision: Revision, within: Within): JobFiles {
  const inside = async (file: string) => {
    if (!(await isInside(file, within))) throw new FileError(file, OUTSIDE);
    return file;
  };
  return {
    readText: async (file) => revision.readText(await inside(file)),
    exists: async (file) => revision.exists(await inside(file)),
    resolve: resolvedFrom,
    artwork: async (file) => committedArtwork(file, await revision.blob(await inside(file)), within),
    within,
  };
}

/** Artwork as a commit has it: the content `blob` of a file of that repository. */
export function committedArtwork(file: string, blob: string, within: Within): ArtworkSource {
  return { file, within, stored: { key: `blob ${blob}`, read: () => readBlob(file, blob, within) } };
}
