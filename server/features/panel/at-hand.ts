import { parseDocument } from "../../language/document.ts";
import { fieldsOf } from "../../language/partial-data.ts";
import type { Recipe } from "../../language/recipe.ts";
import { resolveRecipe } from "../../language/resolve-recipe.ts";
import type { Model } from "../model.ts";

/** A recipe read without its shop file. */
export interface AtHand {
  readonly recipe: Recipe;
  /** Inks that stand in the shop's ink library alone: plates can be made without them, prints cannot. */
  readonly unknown: ReadonlySet<string>;
}

/**
 * A recipe whose shop file cannot be read, as far as its own inks go: plates need no ink, and get one that is never
 * shown. Undefined where a plate's tones follow from an ink that is not known.
 */
export function recipeAtHand({ source, readings }: Model): AtHand | undefined {
  const { inks, plates } = fieldsOf(source.value);
  const own = fieldsOf(inks);
  const unknown = new Set<string>();
  for (const plate of Object.values(fieldsOf(plates))) {
    const { ink, strength, extract } = fieldsOf(plate);
    if (typeof ink !== "string" || Object.hasOwn(own, ink)) continue;
    const fromInk = ["solve", "index"].some((key) => Object.hasOwn(fieldsOf(extract), key));
    if (strength === "match" || fromInk) return undefined;
    unknown.add(ink);
  }
  const shelf = [...unknown].map((ink) => `  ${JSON.stringify(ink)}: { colour: "#808080", opacity: 70% }\n`);
  const text = `shop: 1\n${shelf.length > 0 ? `inks:\n${shelf.join("")}` : ""}`;
  return { recipe: resolveRecipe(source, parseDocument("", text, "shop"), readings), unknown };
}
