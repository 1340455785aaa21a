import type { Recipe } from "../language/recipe.ts";
import { suggestion } from "../language/suggest.ts";
import { UsageError } from "./command.ts";

/** The setup that `--setup` names; left out, the recipe's only one. */
export function setupNamed(recipe: Recipe, wanted: string | boolean | undefined): string {
  const names = [...recipe.setups.keys()];
  if (typeof wanted !== "string") {
    if (names.length === 1) return names[0]!;
    throw new UsageError(`--setup is missing; setups are: ${names.join(", ")}`);
  }
  if (!recipe.setups.has(wanted))
    throw new UsageError(`there is no setup "${wanted}"${suggestion(wanted, names, "setups are")}`);
  return wanted;
}
