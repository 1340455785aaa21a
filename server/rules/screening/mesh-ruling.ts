import { printsSolid } from "../job.ts";
import type { JobRule } from "../rule.ts";
import { figure } from "../words.ts";
import { yaml } from "../yaml.ts";
import { FINEST_FOR_HALFTONES } from "./ink-deposit.ts";
import { platesText, screened } from "./screened.ts";

/** Threads to a row of dots; a twentieth less is no matter. */
const LEAST = 3.5;
const TOLERANCE = 0.95;

/** A row of dots needs threads to hang on. A finer mesh is no fault here: ink-deposit says what it lays down. */
export const meshRuling: JobRule = {
  id: "mesh-ruling",
  looksAt: "job",
  level: "warning",
  why: "With too few threads to a row of dots, small dots have nothing to hold on to, and the dots beat with the mesh.",
  source:
    "Press literature: 3.5 to 4 threads to a row at least, 5 for detail (2003 and later, as quoted in trade journals); a mesh maker also lists 2.5. Plates that print solid everywhere have no rows of dots.",
  example: {
    fails: yaml`
      meshes: { coarse: { count: 86/in } }
      usual-mesh: { colour: coarse }
    `,
    passes: yaml`
      meshes: { fine: { count: 225/in } }
      usual-mesh: { colour: fine }
    `,
  },
  *check(recipe) {
    for (const { meshName, mesh, screen, plates: all } of screened(recipe)) {
      const { rulingLpi } = screen;
      const plates = all.filter((plate) => !printsSolid(recipe, plate));
      const ratio = mesh.count / rulingLpi;
      if (plates.length === 0 || ratio >= LEAST * TOLERANCE) continue;
      // Of the shop's own meshes the most open that holds the dots, and that still lays an underbase.
      const first = plates[0]!;
      const finest = first.purpose === "underbase" ? FINEST_FOR_HALFTONES : Number.POSITIVE_INFINITY;
      const [better] = [...recipe.meshes]
        .filter(([, { count }]) => count >= rulingLpi * LEAST && count <= finest)
        .sort(([, a], [, b]) => a.count - b.count);
      const own = better === undefined ? "" : `mesh ${better[0]}, `;
      yield {
        path: ["plates", first.name],
        part: "key",
        message: `mesh ${meshName} has ${figure(ratio)} threads to a row of dots at ${figure(rulingLpi)} lpi, so small dots of ${platesText(plates)} will not hold; take ${own}${Math.ceil(rulingLpi * LEAST)}/in or finer, or ${Math.floor(mesh.count / LEAST)} lpi or less`,
        ...(better === undefined ? {} : { data: { mesh: { plate: first.name, mesh: better[0] } } }),
      };
    }
  },
};
