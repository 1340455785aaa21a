import { setImmediate } from "node:timers/promises";
import type { CheckedModel, Model } from "../features/model.ts";
import { unreadableArtwork } from "../jobs/open.ts";
import { byPlace, type Finding } from "../language/finding.ts";
import { filesOf, type Project } from "../language/project.ts";
import type { Recipe } from "../language/recipe.ts";
import { type CheckOptions, checkInSteps, isReadable } from "../rules/check.ts";
import type { RuleLevels } from "../rules/levels.ts";
import type { Measured } from "./work-messages.ts";

/** What the rules say of a model, as they come to say it. */
export interface Check {
  readonly model: Model;
  /** As soon as they know whether the recipe can be read: undefined where it cannot. */
  readonly recipe: Promise<Recipe | undefined>;
  readonly checked: Promise<CheckedModel>;
}

/** The server's thread is held no longer at a time by rules. */
const TURN_MS = 3;

/** Has the rules speak of a model, a few milliseconds at a time, with what was measured of its plates so far. */
export function checkInTurns(
  model: Model,
  assemble: () => Project,
  levels: RuleLevels,
  measured: Measured | undefined,
): Check {
  let resolved: (recipe: Recipe | undefined) => void = () => {};
  const recipe = new Promise<Recipe | undefined>((resolve) => {
    resolved = resolve;
  });
  const findings = findingsInTurns(
    assemble,
    {
      levels,
      resolved,
      today: new Date().toISOString().slice(0, 10),
      ...(measured ? { pixels: measured.marks } : {}),
    },
    measured?.problem,
  );
  const checked = findings.then((said) => ({ ...model, findings: said, readable: isReadable(said) }));
  // Where there is no recipe to be read, the findings are all there is to wait for. Who waits for them hears of errors.
  checked.finally(() => resolved(undefined)).catch(() => {});
  return { model, recipe, checked };
}

async function findingsInTurns(
  assemble: () => Project,
  options: CheckOptions,
  problem: Measured["problem"],
): Promise<Finding[]> {
  // What came before, the text read, was a turn by itself; so is holding it against the schema.
  await setImmediate();
  const project = assemble();
  const checking = checkInSteps(project, options);
  for (let turn = Number.NEGATIVE_INFINITY; ; ) {
    if (performance.now() - turn >= TURN_MS) {
      await setImmediate();
      turn = performance.now();
    }
    const step = checking.next();
    if (!step.done) continue;
    // Another artwork may be named since; one that is gone is told as such.
    const stands =
      problem !== undefined &&
      filesOf(project.main).artwork === problem.artwork &&
      step.value.every(({ rule, path }) => rule !== "missing-file" || path[0] !== "artwork");
    return stands
      ? [...step.value, unreadableArtwork(project, new Error(problem.message))].sort(byPlace)
      : step.value;
  }
}
