import type { Recipe } from "../recipe.ts";
import { listed } from "../words.ts";
import { adjustmentChanges, grownWith } from "./adjustments.ts";
import type { Change } from "./change.ts";
import { edgeChanges } from "./edges.ts";
import {
  artworkChanges,
  besideChanges,
  garmentChanges,
  indexChanges,
  processChanges,
  solveChanges,
} from "./job.ts";
import { inkChanges, plateChanges } from "./plates.ts";
import { inNewNames } from "./renames.ts";
import { screeningChanges } from "./screening.ts";
import { setupChanges } from "./setups.ts";

export type { Change } from "./change.ts";
export { screenCount } from "./plates.ts";
export { inNewNames } from "./renames.ts";

/**
 * What a person would say that changed from one recipe to the other, in the order of the file's sections. Comments,
 * the order of keys and the notation of a colour or a unit are no change; the pixels of artwork and plates are not
 * looked at.
 */
export function changesBetween(before: Recipe, after: Recipe): Change[] {
  const { recipe: old, changes: renames } = inNewNames(before, after);
  return gathered([
    ...artworkChanges(old, after),
    ...garmentChanges(old, after),
    ...inkChanges(old, after),
    ...renames,
    ...plateChanges(old, after),
    ...adjustmentChanges(
      grownWith(after.artwork.widthMm / old.artwork.widthMm, old.adjustments, after.adjustments),
      after.adjustments,
    ),
    ...edgeChanges(old, after),
    ...screeningChanges(old, after),
    ...solveChanges(old, after),
    ...processChanges(old, after),
    ...indexChanges(old, after),
    ...setupChanges(old, after),
    ...besideChanges(old, after),
  ]);
}

/** From this many plates on, what is the same for all of them is said once. */
const MANY = 3;

function gathered(changes: readonly Change[]): Change[] {
  const of = (one: Change) => changes.filter((other) => isPlates(other) && other.text === one.text);
  return changes.flatMap((one) => {
    const alike = isPlates(one) ? of(one) : [];
    if (alike.length < MANY) return [one];
    if (alike[0] !== one) return [];
    const plates = alike.flatMap((other) => other.plates);
    return [{ ...one, subject: listed(plates), plates }];
  });
}

function isPlates({ subject, plates }: Change): boolean {
  return plates.length === 1 && plates[0] === subject;
}

/** `ember: hue range widened 350–50 → 345–55` */
export function sentence({ subject, text }: Pick<Change, "subject" | "text">): string {
  return `${subject}: ${text}`;
}
