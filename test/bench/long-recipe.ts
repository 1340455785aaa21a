import { readFileSync } from "node:fs";

/** The demo's recipe with so many more plates, five lines each, that it has about a thousand lines. */
export function longRecipe(plateCount = 178): string {
  const demo = readFileSync(
    new URL("../../samples/night-garden/night-garden.sep.yaml", import.meta.url),
    "utf8",
  );
  const names = Array.from({ length: plateCount }, (_, i) => `extra-${i}`);
  const plates = names.map(
    (name) =>
      `  ${name}:\n    ink: violet\n    extract:\n      hue: [302, 343]\n      fade: { hue: 26, lightness: 12 }\n`,
  );
  return demo
    .replace("  # Neutrals", `${plates.join("")}  # Neutrals`)
    .replace("grey, black, glint]", `grey, black, glint, ${names.join(", ")}]`);
}

/** Where a number stands that is typed over and over: far down in the recipe. */
export const TYPED_AT = "extra-90:\n    ink: violet\n    extract:\n      hue: [30";
