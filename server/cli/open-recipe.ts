import { standing } from "../language/finding.ts";
import { openProject, type Project } from "../language/project.ts";
import { type Recipe, resolveRecipe } from "../language/recipe.ts";
import { checkProject } from "../rules/check.ts";
import { type Console, type ExitStatus, UsageError } from "./command.ts";
import { disk } from "./disk.ts";
import { findingLine, placed } from "./findings.ts";

export interface OpenedRecipe {
  readonly project: Project;
  readonly recipe: Recipe;
  /** The artwork's path, from the working folder. */
  readonly artworkFile: string;
}

/** The recipe, if it is free of errors; otherwise its errors are written and the exit status comes back. */
export async function openRecipe(file: string, console: Console): Promise<OpenedRecipe | ExitStatus> {
  const project = await openProject(file, disk);
  if (project.main.kind !== "recipe")
    throw new UsageError(`${file} is a shop file; name a recipe (*.sep.yaml)`);
  const errors = standing(checkProject(project)).filter(({ level }) => level === "error");
  if (errors.length > 0) {
    const documents = project.shop ? [project.main, project.shop] : [project.main];
    for (const finding of placed(errors, documents)) console.err.write(findingLine(finding));
    return errors.every(({ rule }) => rule === "missing-file") ? 2 : 1;
  }
  const recipe = resolveRecipe(project.main, project.shop, project.readings);
  return { project, recipe, artworkFile: disk.resolve(file, recipe.artwork.file) };
}
