import { ArtworkError, readArtwork } from "../artwork/artwork.ts";
import { rangeAt } from "../language/document.ts";
import { byPlace, type Finding } from "../language/finding.ts";
import type { Project } from "../language/project.ts";
import { type Recipe, resolveRecipe } from "../language/recipe.ts";
import { makePrint, type Print, previewPrint } from "../render/print.ts";
import type { OnProgress } from "../render/progress.ts";
import { StageCache } from "../render/stage-cache.ts";
import { checkProject, isReadable, lookAtPixels } from "../rules/check.ts";
import { disk } from "./disk.ts";

/** Stages of one job at preview size, for as long as it is looked at. */
const CACHE_BYTES = 200_000_000;

/** Reading and separating take about this share of the time, the rules the rest. */
const MAKING = 0.7;

/**
 * Everything there is to say about a project, what its pixels say included; with `full`, at the resolution of print.
 * Artwork that cannot be read is a finding.
 */
export async function checkWithPixels(
  project: Project,
  full: boolean,
  onProgress: OnProgress,
): Promise<Finding[]> {
  const findings = checkProject(project);
  if (project.main.kind !== "recipe" || !isReadable(findings)) return findings;
  const recipe = resolveRecipe(project.main, project.shop, project.readings);
  const artworkFile = disk.resolve(project.main.file, recipe.artwork.file);
  try {
    const print = full
      ? await fullPrint(recipe, artworkFile, (done) => onProgress(done * MAKING))
      : await previewPrint(recipe, { file: artworkFile }, new StageCache(CACHE_BYTES));
    const pixels = await lookAtPixels(print, (done) => onProgress(MAKING + done * (1 - MAKING)));
    return checkProject(project, { pixels });
  } catch (error) {
    if (!(error instanceof ArtworkError)) throw error;
    const path = ["artwork", "file"];
    const { file } = project.main;
    const finding: Finding = {
      rule: "unreadable-artwork",
      level: "error",
      file,
      range: rangeAt(project.main, path),
      path,
      message: error.message,
    };
    return [...findings, finding].sort(byPlace);
  }
}

async function fullPrint(recipe: Recipe, artworkFile: string, onProgress: OnProgress): Promise<Print> {
  const artwork = await readArtwork(artworkFile, { widthMm: recipe.artwork.widthMm });
  return makePrint(recipe, artwork, onProgress);
}
