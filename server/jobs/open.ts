import { basename } from "node:path";
import type { Within } from "../files/boundary.ts";
import { rangeAt } from "../language/document.ts";
import type { Finding } from "../language/finding.ts";
import { fieldsOf } from "../language/partial-data.ts";
import { type FileAccess, filesOf, openProject, type Project } from "../language/project.ts";
import type { Recipe } from "../language/recipe.ts";
import { resolveRecipe } from "../language/resolve-recipe.ts";
import type { ArtworkSource } from "../render/artworks.ts";
import { plateSources } from "../render/plate-sources.ts";
import { checkProject, isReadable, isResolvable } from "../rules/check.ts";

/** How a job reaches its files: on disk, in a commit, or with a text in place of one that does not stand there yet. */
export interface JobFiles extends FileAccess {
  /** The artwork under a path; throws FileError. */
  artwork(file: string): Promise<ArtworkSource>;
  /** How far files may lie. */
  readonly within: Within;
}

/** A recipe or shop file with what belongs to it, and what can be said before its pixels are looked at. */
export interface Job {
  readonly project: Project;
  readonly findings: readonly Finding[];
  /** Undefined for a shop file, and where the text has errors. */
  readonly recipe: Recipe | undefined;
  /** The artwork's path; undefined where there is no recipe. */
  readonly artworkFile: string | undefined;
  /** Whether plates can be made: there is a recipe, and no file is missing. */
  readonly readable: boolean;
  readonly files: JobFiles;
  /** The day that it is checked on, as year, month and day; without it nothing is told of age. */
  readonly today: string | undefined;
}

/** A job that plates can be made of. */
export interface ReadableJob extends Job {
  readonly recipe: Recipe;
  readonly artworkFile: string;
}

/** Opens and checks a recipe, or a shop file. Throws FileError where `file` itself cannot be read. */
export async function openJob(file: string, files: JobFiles, today?: string): Promise<Job> {
  const project = await openProject(file, files);
  const findings = checkProject(project, { today });
  const { main, shop, readings } = project;
  const resolvable = main.kind === "recipe" && isResolvable(findings);
  const recipe = resolvable ? resolveRecipe(main, shop, readings) : undefined;
  const artworkFile = recipe && files.resolve(file, recipe.artwork.file);
  return {
    project,
    findings,
    recipe,
    artworkFile,
    readable: resolvable && isReadable(findings),
    files,
    today,
  };
}

export function canBePrinted(job: Job): job is ReadableJob {
  return job.readable;
}

/** The same files with a text under a name that need not stand on disk. */
export function withText(files: JobFiles, file: string, text: string): JobFiles {
  return {
    ...files,
    readText: (asked) => (asked === file ? Promise.resolve(text) : files.readText(asked)),
  };
}

/** Where a job's pictures come from: its artwork, and plates that others made. Throws FileError. */
export async function sourceOf({ recipe, artworkFile, project, files }: ReadableJob): Promise<ArtworkSource> {
  const artwork = await files.artwork(artworkFile);
  const plates = await plateSources(recipe, async (path) =>
    files.artwork(files.resolve(project.main.file, path)),
  );
  return { ...artwork, plates };
}

/** The files of a job's artwork and plates, each once, in the recipe's order. */
export function pictureFiles({ project: { main }, files }: ReadableJob): string[] {
  return [...new Set(filesOf(main).pictures.map(({ file }) => files.resolve(main.file, file)))];
}

/** A picture that cannot be read, told at its place in the recipe: of a plate where the message names its file. */
export function unreadableArtwork({ main }: Project, { message }: Error): Finding {
  const { pictures } = filesOf(main);
  // Paths are told as they are found, which ends in what is written.
  const named = pictures.filter(({ file }) => message.split(": ")[0]!.endsWith(basename(file)));
  const plates = fieldsOf(fieldsOf(main.value).plates);
  // Of several plates of one file, the one whose ink is spoken of.
  const meant = named.find(({ path }) => {
    const { colorant } = fieldsOf(fieldsOf(plates[String(path[1])]).extract);
    return typeof colorant === "string" && message.includes(JSON.stringify(colorant));
  });
  const path = (meant ?? named[0] ?? pictures[0])?.path ?? ["artwork"];
  const range = rangeAt(main, path);
  return { rule: "unreadable-artwork", level: "error", file: main.file, range, path, message };
}
