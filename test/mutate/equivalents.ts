import { readFileSync } from "node:fs";
import type { Mutation } from "./mutations.ts";

/** A change that no test can notice, or none need. */
type Equivalent = Pick<Mutation, "file" | "before" | "after"> & { readonly reason: string };

/** Those of equivalent.txt: the survivor as it was listed, without its line number, and the reason under it. */
export function equivalents(
  text: string = readFileSync(new URL("equivalent.txt", import.meta.url), "utf8"),
): readonly Equivalent[] {
  const blocks = text.replace(/^#.*\n/gm, "").split(/\n\s*\n/);
  return blocks
    .filter((block) => block.trim() !== "")
    .map((block) => {
      const [file = "", before = "", after = "", ...reason] = block.trim().split(/\n\s*/);
      if (!before.startsWith("- ") || !after.startsWith("+ ") || reason.length === 0)
        throw new Error(`equivalent.txt: a file, “- ” before, “+ ” after and a reason are needed: ${file}`);
      return { file, before: before.slice(2), after: after.slice(2), reason: reason.join(" ") };
    });
}

export function isEquivalent(listed: readonly Equivalent[], { file, before, after }: Mutation): boolean {
  return listed.some((one) => one.file === file && one.before === before && one.after === after);
}
