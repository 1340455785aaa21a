import { volumeOf } from "../../render/ink-needs.ts";
import { inkOf, printedPlates, printsSolid } from "../job.ts";
import type { JobRule } from "../rule.ts";
import { figure, percent } from "../words.ts";
import { yaml } from "../yaml.ts";

/** Threads an inch up to which a mesh lays a solid underbase, and one in halftones. Common practice, no source. */
const FINEST_FOR_SOLID = 160;
export const FINEST_FOR_HALFTONES = 230;

/** A ground must hide the garment, so it needs an open mesh. */
export const underbaseMesh: JobRule = {
  id: "underbase-mesh",
  looksAt: "job",
  level: "warning",
  why: "A fine mesh lays too thin an underbase: the garment shows through and every colour on it turns dull.",
  source:
    "Common practice, no source: up to 160/in for a solid underbase, 180 to 230/in for one in halftones.",
  example: {
    fails: yaml`
      meshes: { fine: { count: 195/in } }
      usual-mesh: { underbase: fine }
    `,
    passes: yaml`
      meshes: { open: { count: 122/in } }
      usual-mesh: { underbase: open }
    `,
  },
  *check(recipe) {
    for (const plate of printedPlates(recipe)) {
      const mesh = plate.mesh === undefined ? undefined : recipe.meshes.get(plate.mesh);
      const solid = printsSolid(recipe, plate);
      const finest = solid ? FINEST_FOR_SOLID : FINEST_FOR_HALFTONES;
      if (plate.purpose !== "underbase" || !mesh || mesh.count <= finest) continue;
      yield {
        path: ["plates", plate.name],
        part: "key",
        message: `mesh ${plate.mesh} (${figure(mesh.count)}/in) is too fine for ${solid ? "a solid underbase" : "an underbase in halftones"} to hide the garment; take ${finest}/in or coarser`,
      };
    }
  },
};

/** Ink in cm³/m² that an underbase, or an ink said to hide, is laid down with at least. Common practice, no source. */
const LEAST_FOR_UNDERBASE = 30;
const LEAST_FOR_HALFTONE_UNDERBASE = 20;
const LEAST_FOR_HIDING = 15;
const HIDING = 0.85;

/** Opacity is a matter of ink on the garment, not only of ink in the bucket. */
export const inkDeposit: JobRule = {
  id: "ink-deposit",
  looksAt: "job",
  level: "warning",
  why: "An ink reaches its opacity only where enough of it is laid down; a tight mesh leaves a thin film.",
  source:
    "Theoretical ink volume = open area × fabric thickness, as in mesh makers' tables; the bounds are common practice, no source.",
  example: {
    fails: yaml`
      meshes: { tight: { count: 150/in, thread: 80 um, opening: 89 um, thickness: 100 um } }
      usual-mesh: { underbase: tight }
    `,
    passes: yaml`
      meshes: { open: { count: 122/in, thread: 70 um, opening: 138 um, thickness: 113 um } }
      usual-mesh: { underbase: open }
    `,
  },
  *check(recipe) {
    for (const plate of printedPlates(recipe)) {
      const mesh = plate.mesh === undefined ? undefined : recipe.meshes.get(plate.mesh);
      const laid = volumeOf(mesh);
      const volume = laid && laid * plate.hits;
      if (volume === undefined) continue;
      const { opacity } = inkOf(recipe, plate);
      const underbase = plate.purpose === "underbase";
      const least = underbase
        ? printsSolid(recipe, plate)
          ? LEAST_FOR_UNDERBASE
          : LEAST_FOR_HALFTONE_UNDERBASE
        : opacity >= HIDING
          ? LEAST_FOR_HIDING
          : 0;
      if (volume >= least) continue;
      const wanted = underbase ? "an underbase" : `an opacity of ${percent(opacity)}`;
      yield {
        path: ["plates", plate.name],
        part: "key",
        message: `mesh ${plate.mesh} lays ${figure(volume)} cm³/m², and ${wanted} wants ${least} or more; take a more open mesh, or print it twice`,
      };
    }
  },
};
