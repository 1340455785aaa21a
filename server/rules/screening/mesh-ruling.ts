import type { JobRule } from "../rule.ts";
import { figure } from "../words.ts";
import { yaml } from "../yaml.ts";
import { platesText, screened } from "./screened.ts";

/** Mesh makers name 2.5 to 5 threads to a row of dots; a twentieth more or less is no matter. */
const LEAST = 2.4;
const MOST = 5.25;

/** A row of dots needs threads to hang on. */
export const meshRuling: JobRule = {
  id: "mesh-ruling",
  looksAt: "job",
  level: "warning",
  why: "With few threads to a row small dots find nothing to hang on; with many the mesh lays too little ink for its dots.",
  source: "Mesh makers' guidance: mesh count ÷ ruling of 2.5, 3.75 or 5.",
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
    for (const { meshName, mesh, screen, plates, path } of screened(recipe)) {
      const { rulingLpi } = screen;
      const ratio = mesh.count / rulingLpi;
      if (ratio >= LEAST && ratio <= MOST) continue;
      const threads = `mesh ${meshName} has ${figure(ratio)} threads to a row of dots at ${figure(rulingLpi)} lpi`;
      const [finest, coarsest] = [mesh.count / 2.5, mesh.count / 5].map((lpi) => Math.floor(lpi));
      const advice =
        ratio < LEAST
          ? `, so small dots of ${platesText(plates)} will fall through; take ${Math.ceil(rulingLpi * 2.5)}/in or finer, or ${finest} lpi or less`
          : `, more than 5: it lays little ink for such dots on ${platesText(plates)}; take ${Math.floor(rulingLpi * 5)}/in or coarser, or ${coarsest} lpi or more`;
      yield { path, part: "key", message: threads + advice };
    }
  },
};
