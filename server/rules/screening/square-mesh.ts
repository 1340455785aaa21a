import { MM_PER_INCH } from "../../engine/units.ts";
import { printedPlates } from "../job.ts";
import type { JobRule } from "../rule.ts";
import { figure, mm } from "../words.ts";
import { yaml } from "../yaml.ts";

const SQUARES = yaml`
  meshes: { fine: { count: 225/in } }
  usual-mesh: { colour: fine, shadow: fine }
  index: { grid: 150/in }
  garments: { white: { colour: "#f4f3ef" } }
  plates:
    ember: { ink: ember, extract: { index: squares } }
    black: { ink: black, purpose: shadow, extract: { index: squares } }
  setups:
    light: { garments: [white], order: [black, ember] }
`;

/** A square needs an opening and a thread. */
export const squareMesh: JobRule = {
  id: "square-mesh",
  looksAt: "job",
  level: "warning",
  why: "A square no wider than one opening and one thread sits on a thread in some places and prints in others, so that mixtures come out uneven.",
  source: "Common practice, no source: the smallest mark spans an opening and a thread.",
  example: { fails: SQUARES.replaceAll("225/in", "140/in"), passes: SQUARES },
  *check(recipe) {
    const told = new Set<string>();
    for (const { name, mesh: meshName, screening } of printedPlates(recipe)) {
      const mesh = meshName === undefined ? undefined : recipe.meshes.get(meshName);
      if (screening.method !== "index" || meshName === undefined || !mesh || told.has(meshName)) continue;
      const { squareMm } = recipe.index;
      if (squareMm >= MM_PER_INCH / mesh.count) continue;
      told.add(meshName);
      yield {
        path: ["plates", name],
        part: "key",
        message: `squares of ${mm(squareMm)} (${figure(MM_PER_INCH / squareMm)}/in) are narrower than opening and thread of mesh ${meshName} (${figure(mesh.count)}/in) and print unevenly; take a grid of ${Math.floor(mesh.count / 1.5)}/in, or a mesh of ${Math.ceil((1.5 * MM_PER_INCH) / squareMm)}/in`,
      };
    }
  },
};
