import { isDeepStrictEqual } from "node:util";
import type { DotScreen } from "../../engine/press/dot-waves.ts";
import { coarsestMoire, isVisible } from "../../engine/press/moire.ts";
import type { Mesh, Recipe } from "../../language/recipe.ts";
import { printedPlates } from "../job.ts";
import type { JobRule } from "../rule.ts";
import { figure, mm, percent } from "../words.ts";
import { yaml } from "../yaml.ts";
import { isQuiet, quietTurn } from "./angles.ts";
import { dotScreenOf, platesText, screened } from "./screened.ts";

/** Mesh and dots must not fall nearly in step. */
export const moire: JobRule = {
  id: "moire",
  looksAt: "job",
  level: "warning",
  why: "Where the rows of dots fall nearly in step with the threads, stripes or a checked pattern show in the print.",
  source:
    "Beats of two gratings and their harmonics down to 1 % of tone (common practice, no source); what counts as visible is set by mesh makers' safe ratios, 2.5, 3.75 and 5 at 22.5°.",
  example: {
    fails: yaml`
      meshes: { fine: { count: 225/in } }
      usual-mesh: { colour: fine, shadow: fine, highlight: fine }
      screening: { ruling: 45 lpi, angle: 0 }
    `,
    passes: yaml`
      meshes: { fine: { count: 225/in } }
      usual-mesh: { colour: fine, shadow: fine, highlight: fine }
      screening: { ruling: 45 lpi, angle: 22.5 }
    `,
  },
  *check(recipe) {
    for (const { meshName, mesh, screen, plates, path } of screened(recipe)) {
      const { rulingLpi, angle } = screen;
      const beat = coarsestMoire(mesh.count, screen);
      if (!isVisible(beat, rulingLpi)) continue;
      const { periodMm, strength } = beat;
      const pattern =
        periodMm > recipe.artwork.widthMm
          ? "fall in step"
          : `beat every ${mm(periodMm)}, by up to ${percent(strength)} of tone, which will show`;
      const names = together(recipe, screen);
      const turned = quietTurn(recipe, names, angle);
      yield {
        path,
        part: "key",
        message: `mesh ${meshName} (${figure(mesh.count)}/in) and ${figure(rulingLpi)} lpi at ${angle}° ${pattern} on ${platesText(plates)}; ${advice(recipe, screen, mesh, names, turned)}`,
        ...(turned === undefined ? {} : { data: { angle: { plates: names, angle: turned } } }),
      };
    }
  },
};

/** All printed plates on such a screen, whatever their mesh: what is turned together beats no more than before. */
function together(recipe: Recipe, screen: DotScreen): string[] {
  return printedPlates(recipe).flatMap((plate) =>
    isDeepStrictEqual(dotScreenOf(plate), screen) ? [plate.name] : [],
  );
}

function advice(
  recipe: Recipe,
  screen: DotScreen,
  mesh: Mesh,
  names: readonly string[],
  turned: number | undefined,
): string {
  const ways: string[] = [];
  const { rulingLpi } = screen;
  if (turned !== undefined)
    ways.push(`turn ${names.length > 1 ? `all ${names.length} screens` : "the screen"} to ${turned}°`);
  for (let step = 1; step <= rulingLpi / 4; step++) {
    const good = [rulingLpi - step, rulingLpi + step].find((lpi) =>
      isQuiet(recipe, names, { rulingLpi: lpi }),
    );
    if (good === undefined) continue;
    ways.push(`use ${figure(good)} lpi`);
    break;
  }
  const other = [...recipe.meshes].find(
    ([, { count }]) =>
      count !== mesh.count &&
      count / rulingLpi >= 2.4 &&
      count / rulingLpi <= 5.25 &&
      !isVisible(coarsestMoire(count, screen), rulingLpi),
  );
  if (other) ways.push(`take mesh ${other[0]}`);
  return ways.length > 0 ? ways.join(", or ") : "take another mesh";
}
