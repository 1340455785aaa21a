import type { SourceDocument } from "../language/document.ts";
import { applyChanges, type Change, insertKey, replaceScalar } from "../language/edit.ts";
import type { Path } from "../language/finding.ts";
import { flowText } from "../language/flow-text.ts";
import type { Recipe } from "../language/recipe.ts";
import { valueAt } from "../language/shop-change.ts";
import type { TunableNumber } from "../language/tunable.ts";
import { withNumbers } from "../render/tune-job.ts";

/** Keys of a plate before its strength, as the samples have them. */
const ORDER = ["ink", "purpose", "extract", "strength"];

/** A recipe's text with these values of its numbers: those that moved are written over, and all else stays as it is. */
export function tunedText(
  doc: SourceDocument,
  recipe: Recipe,
  numbers: readonly TunableNumber[],
  values: readonly number[],
): string {
  const after = withNumbers(recipe, numbers, values);
  const changes: Change[] = numbers.flatMap(({ path, value, added }, d) =>
    added !== undefined || values[d] === value
      ? []
      : done(replaceScalar(doc, path, figure(values[d]!)), path),
  );
  for (const plate of new Set(numbers.flatMap(({ plate, added }) => (added === undefined ? [] : [plate]))))
    changes.push(...newStrength(doc, plate, recipe, after));
  return applyChanges(doc.text, changes);
}

/** Curves of strength that a plate gets. */
function newStrength(doc: SourceDocument, plate: string, before: Recipe, after: Recipe): readonly Change[] {
  const [was, is] = [before.plates.get(plate)!.strength, after.plates.get(plate)!.strength];
  if (is === was || typeof is === "string") return [];
  const path = ["plates", plate, "strength"];
  if (typeof was === "object") {
    const by = was.lightness ? "chroma" : "lightness";
    return is[by] && !was[by] ? done(insertKey(doc, path, by, flowText(is[by])), path) : [];
  }
  return valueAt(doc.value, path) === undefined
    ? done(insertKey(doc, path.slice(0, -1), "strength", flowText(is), ORDER), path)
    : done(replaceScalar(doc, path, flowText(is)), path);
}

/** Numbers that cannot be edited are held, so that nothing here can fail. */
function done(changes: readonly Change[] | undefined, path: Path): readonly Change[] {
  if (!changes) throw new Error(`${path.join(".")} cannot be written`);
  return changes;
}

function figure(value: number): string {
  return String(Number(value.toFixed(2)));
}
