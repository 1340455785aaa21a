import type { ArtworkSource } from "../render/artworks.ts";
import { type Revision, readBlob } from "../revisions/git.ts";
import type { JobFiles } from "./open.ts";

/** Files as a commit has them. */
export function filesOfCommit(revision: Revision): JobFiles {
  return {
    readText: (file) => revision.readText(file),
    exists: (file) => revision.exists(file),
    resolve: (fromFile, relative) => revision.resolve(fromFile, relative),
    artwork: async (file) => committedArtwork(file, await revision.blob(file)),
  };
}

/** Artwork as a commit has it: the content `blob` of a file of that repository. */
export function committedArtwork(file: string, blob: string): ArtworkSource {
  return { file, stored: { key: `blob ${blob}`, read: () => readBlob(file, blob) } };
}
