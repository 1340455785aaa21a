import { readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { type Artwork, readArtwork } from "../../../server/artwork/artwork.ts";
import { parseDocument, positionAt } from "../../../server/language/document.ts";
import { assembleProject } from "../../../server/language/project.ts";
import { resolveRecipe } from "../../../server/language/resolve-recipe.ts";
import type { Side } from "../../../server/output/review/review.ts";
import { makePrint, Print } from "../../../server/render/print.ts";
import { checkProject } from "../../../server/rules/check.ts";
import NIGHT_GARDEN from "../../language/night-garden.ts";

const at = (path: string) => fileURLToPath(new URL(`../../../samples/${path}`, import.meta.url));
const SHOP = readFileSync(at("workshop.shop.yaml"), "utf8");

/** Small, so that forty jobs are made in seconds: 240 pixels wide. */
const PPI = 20;
let artwork: Promise<Artwork> | undefined;

/** Text to find, once, and what stands there instead. */
export type Edit = readonly [from: string, to: string];

let plain: Promise<Side> | undefined;

/** The demo as it is. */
export function unedited(): Promise<Side> {
  plain ??= nightGarden();
  return plain;
}

/** The demo as a side of a review, with edits in its recipe or its shop file; without the rules that look at pixels. */
export async function nightGarden(...edits: readonly Edit[]): Promise<Side> {
  let [recipeText, shopText] = [NIGHT_GARDEN, SHOP];
  for (const [from, to] of edits) {
    const [inRecipe, inShop] = [recipeText.split(from).length - 1, shopText.split(from).length - 1];
    if (inRecipe + inShop !== 1) throw new Error(`"${from}" stands there ${inRecipe + inShop} times`);
    if (inRecipe) recipeText = recipeText.replace(from, () => to);
    else shopText = shopText.replace(from, () => to);
  }
  return side(recipeText, shopText);
}

export async function side(recipeText: string, shopText = SHOP): Promise<Side> {
  const main = parseDocument("job.sep.yaml", recipeText);
  const shop = parseDocument("workshop.shop.yaml", shopText, "shop");
  const project = assembleProject(main, shop, true);
  const findings = checkProject(project);
  const placed = findings.map((one) => ({
    ...one,
    line: positionAt(one.file === main.file ? main : shop, one.range.start).line,
  }));
  const levels = (shop.value as { rules?: Record<string, unknown> }).rules ?? {};
  if (findings.some(({ rule }) => rule === "schema" || rule === "unknown-name"))
    return { name: "job.sep.yaml", findings: placed, levels, made: undefined };
  const recipe = resolveRecipe(main, shop);
  artwork ??= readArtwork(at("night-garden/night-garden.svg"), { widthMm: 304.8, ppi: PPI });
  const print = await makePrint(recipe, await artwork);
  const whole = new Print(
    recipe,
    { ...print.artwork, ppi: (PPI * 304.8) / recipe.artwork.widthMm },
    print.plates,
  );
  return {
    name: "job.sep.yaml",
    findings: placed,
    levels,
    made: { recipe, print: whole, artworkDigest: "the drawing" },
  };
}
