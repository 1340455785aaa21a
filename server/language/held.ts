import { speakingComments } from "./comment-parts.ts";
import { rangeAt, type SourceDocument } from "./document.ts";
import { insertKey, replaceScalar } from "./edit.ts";
import type { Path } from "./finding.ts";
import type { Recipe } from "./recipe.ts";

/** `# fixed` and `# fixed: why`. */
const FIXED = /(?<=^|[ \t])#[ \t]*fixed[ \t]*(?::.*)?$/;

/**
 * Which numbers of a recipe stay as they are: those that a comment `# fixed` holds (`comment-parts.ts` has where it stands),
 * those that a test print taught, and those that cannot be edited where they stand, such as behind an alias. Of a plate, whether
 * nothing may be added to it.
 */
export function heldNumbers(doc: SourceDocument, recipe: Recipe): (path: Path) => boolean {
  const fixed = doc.text.includes("fixed") ? speakingComments(doc, FIXED) : [];
  return (path) => {
    if (path[0] === "adjust" && recipe.adjustments[Number(path[1])]?.lesson) return true;
    const { start } = rangeAt(doc, path);
    if (fixed.some(({ part }) => start >= part.start && start < part.end)) return true;
    const edit = path.length === 2 ? insertKey(doc, path, "strength", "") : replaceScalar(doc, path, "0");
    return edit === undefined;
  };
}
