import { coarsestMoire, isVisible } from "../../engine/press/moire.ts";
import type { Recipe } from "../../language/recipe.ts";
import type { JobRule } from "../rule.ts";
import { figure, mm } from "../words.ts";
import { yaml } from "../yaml.ts";
import { platesText, type Screened, screened } from "./screened.ts";

/** Mesh and dots must not fall nearly in step. */
export const moire: JobRule = {
  id: "moire",
  looksAt: "job",
  level: "warning",
  why: "Where the rows of dots fall nearly in step with the threads, stripes or a checked pattern show in the print.",
  source:
    "Beats of two gratings and their low harmonics; what counts as visible is set by mesh makers' safe ratios, 2.5, 3.75 and 5 at 22.5°.",
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
    for (const pair of screened(recipe)) {
      const { meshName, mesh, rulingLpi, angle, plates, path } = pair;
      const beat = coarsestMoire(mesh.count, rulingLpi, angle);
      if (!isVisible(beat, rulingLpi)) continue;
      const { periodMm } = beat;
      const pattern =
        periodMm > recipe.artwork.widthMm ? "fall in step" : `beat every ${mm(periodMm)}, which will show`;
      yield {
        path,
        part: "key",
        message: `mesh ${meshName} (${figure(mesh.count)}/in) and ${figure(rulingLpi)} lpi at ${angle}° ${pattern} on ${platesText(plates)}; ${advice(recipe, pair)}`,
      };
    }
  },
};

/** Angles tried from the present one outwards, in degrees. */
const STEP = 2.5;
const FURTHEST = 45;

function advice(recipe: Recipe, { mesh, rulingLpi, angle }: Screened): string {
  const clean = (count: number, lpi: number, at: number) => !isVisible(coarsestMoire(count, lpi, at), lpi);
  const ways: string[] = [];
  for (let turn = STEP; turn <= FURTHEST; turn += STEP) {
    const good = [angle + turn, angle - turn].find((at) => clean(mesh.count, rulingLpi, at));
    if (good === undefined) continue;
    ways.push(`turn the screen to ${good}°`);
    break;
  }
  for (let step = 1; step <= rulingLpi / 4; step++) {
    const good = [rulingLpi - step, rulingLpi + step].find((lpi) => clean(mesh.count, lpi, angle));
    if (good === undefined) continue;
    ways.push(`use ${figure(good)} lpi`);
    break;
  }
  const other = [...recipe.meshes].find(
    ([, { count }]) =>
      count !== mesh.count &&
      count / rulingLpi >= 2.4 &&
      count / rulingLpi <= 5.25 &&
      clean(count, rulingLpi, angle),
  );
  if (other) ways.push(`take mesh ${other[0]}`);
  return ways.length > 0 ? ways.join(", or ") : "take another mesh";
}
