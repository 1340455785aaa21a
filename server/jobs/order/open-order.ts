import { rangeAt, type SourceDocument } from "../../language/document.ts";
import { type Finding, standing } from "../../language/finding.ts";
import { type Order, resolveOrder } from "../../language/order.ts";
import { openProject, type Project } from "../../language/project.ts";
import type { Recipe } from "../../language/recipe.ts";
import { checkProject } from "../../rules/check.ts";
import { canBePrinted, type JobFiles, openJob, type ReadableJob, withText } from "../open.ts";

/** An order with the job of each of its prints, every one free of errors. */
export interface OpenOrder {
  readonly project: Project;
  readonly findings: readonly Finding[];
  readonly order: Order;
  /** By the prints' names; each at its own width. */
  readonly jobs: ReadonlyMap<string, ReadableJob>;
}

/** Why an order cannot be made: findings, each with the project that it lies in. */
export interface RefusedOrder {
  readonly errors: readonly { readonly project: Project; readonly findings: readonly Finding[] }[];
}

/** Opens and checks an order and the recipes that it prints. Throws FileError where `file` itself cannot be read. */
export async function openOrder(
  file: string,
  files: JobFiles,
  today?: string,
): Promise<OpenOrder | RefusedOrder> {
  const project = await openProject(file, files);
  const findings = checkProject(project, { today });
  const own = errorsOf(findings);
  if (project.main.kind !== "order" || own.length > 0) return { errors: [{ project, findings: own }] };
  const order = resolveOrder(project.main, project.shop);
  const jobs = new Map<string, ReadableJob>();
  const refused: { project: Project; findings: Finding[] }[] = [];
  for (const [name, print] of order.prints) {
    const recipe = project.recipes!.get(print.recipe)!;
    const wide =
      print.width === undefined ? files : withText(files, recipe.file, atWidth(recipe, print.width));
    const job = await openJob(recipe.file, wide, today);
    const errors = errorsOf(job.findings);
    if (errors.length === 0 && canBePrinted(job)) jobs.set(name, job);
    else refused.push({ project: job.project, findings: errors });
  }
  return refused.length > 0 ? { errors: refused } : { project, findings, order, jobs };
}

function errorsOf(findings: readonly Finding[]): Finding[] {
  return standing(findings).filter(({ level }) => level === "error");
}

/** The recipe's text with another printed width, so that all that goes with its text goes with its width. */
function atWidth(recipe: SourceDocument, width: string): string {
  const { artwork } = (recipe.value ?? {}) as { artwork?: { width?: unknown } };
  // What has no width to be replaced is told when it is opened.
  if (typeof artwork?.width !== "string") return recipe.text;
  const { start, end } = rangeAt(recipe, ["artwork", "width"]);
  return recipe.text.slice(0, start) + JSON.stringify(width) + recipe.text.slice(end);
}

/** The recipe of each print, at its width. */
export function recipesOf({ jobs }: OpenOrder): Map<string, Recipe> {
  return new Map([...jobs].map(([name, { recipe }]) => [name, recipe]));
}
