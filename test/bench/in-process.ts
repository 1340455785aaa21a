/**
 * One keystroke after the other, from text to findings, in one process, on a recipe with as many more plates as the
 * argument says. Prints milliseconds, a line each.
 */

import { readFileSync } from "node:fs";
import { BlockCache } from "../../server/language/blocks.ts";
import { parseDocument } from "../../server/language/document.ts";
import { assembleProject } from "../../server/language/project.ts";
import { checkProject } from "../../server/rules/check.ts";
import { longRecipe, TYPED_AT } from "./long-recipe.ts";

const recipe = longRecipe(Number(process.argv[2] ?? 178));
// As the server keeps it, from one keystroke to the next.
const blocks = new BlockCache();
const shop = parseDocument("a.shop.yaml", readFileSync("samples/workshop.shop.yaml", "utf8"));
const at = recipe.indexOf(TYPED_AT) + TYPED_AT.length;
for (let i = 0; i < 400; i++) {
  const text = `${recipe.slice(0, at)}${i % 9}${recipe.slice(at)}`;
  const start = performance.now();
  checkProject(assembleProject(parseDocument("a.sep.yaml", text, "recipe", blocks), shop, true));
  if (i >= 100) console.log(performance.now() - start);
}
