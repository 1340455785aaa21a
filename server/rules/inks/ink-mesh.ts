import type { InkKind } from "../../language/inks.ts";
import { inkOf, printedPlates } from "../job.ts";
import type { JobRule } from "../rule.ts";
import { figure } from "../words.ts";
import { yaml } from "../yaml.ts";

interface Counts {
  /** Threads an inch. */
  readonly from: number;
  readonly to: number;
  /** What happens beyond them. */
  readonly finer: string;
}

const PARTICLES = "its particles stay in the mesh";
/** Published meshes of each kind; kinds that are not here ask for nothing of their own. */
const COUNTS: Readonly<Partial<Record<InkKind, Counts>>> = {
  "water-based": { from: 110, to: 305, finer: "it dries in the mesh" },
  discharge: { from: 110, to: 305, finer: "it dries in the mesh" },
  puff: { from: 30, to: 110, finer: "too little of it is laid down to rise" },
  "high-density": { from: 30, to: 110, finer: "no thick film comes through" },
  metallic: { from: 30, to: 135, finer: PARTICLES },
  glitter: { from: 30, to: 110, finer: PARTICLES },
  reflective: { from: 30, to: 110, finer: PARTICLES },
  barrier: { from: 30, to: 110, finer: "too thin a film lets the dye through" },
};

/** Some inks go through some meshes only. */
export const inkMesh: JobRule = {
  id: "ink-mesh",
  looksAt: "job",
  level: "warning",
  why: "Glitter stays in a fine mesh, puff does not rise out of a thin film, and water-based ink floods through an open one.",
  source:
    "Trade press and suppliers' guides, read in excerpts: water-based and discharge 110 to 305/in (2008), “Extra special” (shimmer 110 to 135/in, special inks up to 110/in), “Puff the magic ink” (86/in), dye blockers (110/in). The lower bound of 30/in is common practice, no source.",
  example: {
    fails: yaml`
      inks:
        white: { colour: "#f8f8f4", opacity: 92% }
        ember: { colour: "#d8431f", opacity: 70%, kind: glitter }
        black: { colour: "#131316", opacity: 97% }
      meshes: { fine: { count: 225/in } }
      usual-mesh: { colour: fine }
    `,
    passes: yaml`
      inks:
        white: { colour: "#f8f8f4", opacity: 92% }
        ember: { colour: "#d8431f", opacity: 70%, kind: metallic }
        black: { colour: "#131316", opacity: 97% }
      meshes: { open: { count: 125/in } }
      usual-mesh: { colour: open }
      screening: { ruling: 30 lpi, angle: 22.5 }
    `,
  },
  *check(recipe) {
    for (const plate of printedPlates(recipe)) {
      const { kind } = inkOf(recipe, plate);
      const counts = kind && COUNTS[kind];
      const mesh = plate.mesh === undefined ? undefined : recipe.meshes.get(plate.mesh);
      if (!counts || !mesh || (mesh.count >= counts.from && mesh.count <= counts.to)) continue;
      const fine = mesh.count > counts.to;
      yield {
        path: ["plates", plate.name],
        part: "key",
        message: `mesh ${plate.mesh} (${figure(mesh.count)}/in) is too ${fine ? "fine" : "open"} for ${kind} ink ${plate.ink}: ${fine ? counts.finer : "too much of it comes through"}; take ${counts.from} to ${counts.to}/in`,
      };
    }
  },
};

/** Openings that the largest particle is across. */
const PARTICLE_ROOM = 3;

/** Flakes pass an opening that is a few times as wide as they are. */
export const particleOpening: JobRule = {
  id: "particle-opening",
  looksAt: "job",
  level: "warning",
  why: "Flakes nearly as wide as the mesh openings block them: the screen clogs within a few prints, and only ink without flakes comes through.",
  source: "Three particles to the opening: common practice among mesh makers, from memory.",
  example: {
    fails: yaml`
      inks:
        white: { colour: "#f8f8f4", opacity: 92% }
        ember: { colour: "#d8431f", opacity: 70%, kind: metallic, particle: 60 um }
        black: { colour: "#131316", opacity: 97% }
      meshes: { open: { count: 125/in, thread: 70 um, opening: 133 um } }
      usual-mesh: { colour: open }
    `,
    passes: yaml`
      inks:
        white: { colour: "#f8f8f4", opacity: 92% }
        ember: { colour: "#d8431f", opacity: 70%, kind: metallic, particle: 40 um }
        black: { colour: "#131316", opacity: 97% }
      meshes: { open: { count: 125/in, thread: 70 um, opening: 133 um } }
      usual-mesh: { colour: open }
      screening: { ruling: 30 lpi, angle: 22.5 }
    `,
  },
  *check(recipe) {
    for (const plate of printedPlates(recipe)) {
      const { particleMm } = inkOf(recipe, plate);
      const openingMm = plate.mesh === undefined ? undefined : recipe.meshes.get(plate.mesh)?.openingMm;
      if (particleMm === undefined || openingMm === undefined || openingMm >= PARTICLE_ROOM * particleMm)
        continue;
      const um = (length: number) => `${figure(length * 1000)} µm`;
      yield {
        path: ["plates", plate.name],
        part: "key",
        message: `particles of ${um(particleMm)} in ${plate.ink} clog mesh ${plate.mesh}, whose openings are ${um(openingMm)}; take openings of ${um(PARTICLE_ROOM * particleMm)} or more`,
      };
    }
  },
};
