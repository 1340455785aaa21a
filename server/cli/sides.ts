import { existsSync } from "node:fs";
import { readFile } from "node:fs/promises";
import { resolve } from "node:path";
import { ArtworkError } from "../artwork/artwork.ts";
import { positionAt, rangeAt } from "../language/document.ts";
import type { Finding } from "../language/finding.ts";
import { type FileAccess, openProject, type Project } from "../language/project.ts";
import { fieldsOf } from "../language/reading.ts";
import { resolveRecipe } from "../language/recipe.ts";
import { digestOf } from "../output/ledger.ts";
import type { Side } from "../output/review/review.ts";
import type { ArtworkSource } from "../render/artworks.ts";
import { type Print, previewPrint } from "../render/print.ts";
import type { StageCache } from "../render/stage-cache.ts";
import { Revision, readBlob } from "../revisions/git.ts";
import { checkProject, isReadable, lookAtPixels } from "../rules/check.ts";
import { UsageError } from "./command.ts";
import { disk } from "./disk.ts";

interface Opened {
  readonly file: string;
  readonly access: FileAccess;
  artwork(file: string): Promise<ArtworkSource & { readonly digest: string }>;
}

/**
 * One side of a review: a file, or `REV:PATH` of the repository around the working folder, with shop file, readings
 * and artwork at that revision too. Throws UsageError, FileError, RevisionError.
 */
export async function openSide(name: string, cache: StageCache): Promise<Side> {
  const { file, access, artwork } = await opened(name);
  const project = await openProject(file, access);
  if (project.main.kind !== "recipe")
    throw new UsageError(`${name} is a shop file; name a recipe (*.sep.yaml)`);
  const findings = checkProject(project);
  const base = { name, levels: fieldsOf(fieldsOf(project.shop?.value).rules) };
  if (!isReadable(findings)) return { ...base, findings: placed(findings, project), made: undefined };
  const recipe = resolveRecipe(project.main, project.shop, project.readings);
  let print: Print;
  let source: Awaited<ReturnType<Opened["artwork"]>>;
  try {
    source = await artwork(access.resolve(file, recipe.artwork.file));
    print = await previewPrint(recipe, source, cache);
  } catch (error) {
    if (!(error instanceof ArtworkError)) throw error;
    const unreadable = unreadableArtwork(project, error);
    return { ...base, findings: placed([...findings, unreadable], project), made: undefined };
  }
  const pixels = await lookAtPixels(print);
  return {
    ...base,
    findings: placed(checkProject(project, { pixels }), project),
    made: { recipe, print, artworkDigest: source.digest },
  };
}

/** A name of a file on disk is that file; else what stands before the first colon is a revision. */
async function opened(name: string): Promise<Opened> {
  const colon = name.indexOf(":");
  if (colon < 0 || existsSync(name)) {
    const artwork = async (file: string) => {
      const digest = digestOf(await readFile(file).catch(() => new Uint8Array()));
      return { file, digest };
    };
    return { file: name, access: disk, artwork };
  }
  const [rev, path] = [name.slice(0, colon), name.slice(colon + 1)];
  if (rev === "" || path === "")
    throw new UsageError(
      `"${name}" names no file; write a file, or REV:PATH such as HEAD~1:jobs/job.sep.yaml`,
    );
  const here = process.cwd();
  const revision = await Revision.open(here, rev);
  // As git has it: from the top of the repository, or with ./ from the working folder.
  const file = /^\.\.?(?:\/|$)/.test(path) ? resolve(here, path) : resolve(revision.top, path);
  const artwork = async (artworkFile: string) => {
    const blob = await revision.blob(artworkFile);
    const read = () => readBlob(artworkFile, blob);
    const bytes = await read();
    return {
      file: artworkFile,
      digest: digestOf(bytes),
      stored: { key: `blob ${blob}`, read: () => Promise.resolve(bytes) },
    };
  };
  return { file, access: revision, artwork };
}

function unreadableArtwork({ main }: Project, { message }: ArtworkError): Finding {
  const path = ["artwork", "file"];
  const range = rangeAt(main, path);
  return { rule: "unreadable-artwork", level: "error", file: main.file, range, path, message };
}

function placed(findings: readonly Finding[], { main, shop }: Project): Side["findings"] {
  return findings.map((finding) => {
    const doc = finding.file === shop?.file ? shop : main;
    return { ...finding, line: positionAt(doc, finding.range.start).line };
  });
}
