import { rulesTables } from "../server/rules/reference.ts";
import { formatTables } from "./reference.ts";

/** Parts of README that follow from elsewhere: from where, the words that mark their place, and what stands there. */
const PARTS: readonly (readonly [source: string, what: string, make: () => string])[] = [
  ["schemas/", "The formats", () => formatTables("schemas/README.md")],
  ["server/rules/", "The rules", () => rulesTables("server/rules/README.md")],
];

/** README with each of its generated parts between the two comments that mark its place. */
export function withGenerated(readme: string): string {
  return PARTS.reduce((page, [source, what, make]) => {
    const start = `<!-- ${what}, written by npm run generate from ${source}. -->`;
    const from = page.indexOf(start);
    const to = page.indexOf(`<!-- End of ${what.toLowerCase()}. -->`);
    if (from < 0 || to < from) throw new Error(`the page has no place for ${what.toLowerCase()}`);
    return `${page.slice(0, from + start.length)}\n\n${make()}\n${page.slice(to)}`;
  }, readme);
}
