import type { JobRule } from "../rule.ts";
import { yaml } from "../yaml.ts";

/** One screen has one mesh. */
export const twoMeshes: JobRule = {
  id: "two-meshes",
  looksAt: "job",
  level: "warning",
  why: "A plate that is folded into another prints through that one's mesh, whatever it asks for itself.",
  source: "Follows from the recipe.",
  example: {
    fails: yaml`
      meshes: { base: { count: 122/in }, colour: { count: 225/in } }
      plates:
        base: { ink: white, purpose: underbase, extract: { artwork: opaque } }
        ember: { ink: ember, extract: { hue: [350, 50] }, mesh: colour }
        rose: { ink: ember, extract: { hue: [330, 350] }, mesh: base }
      inks:
        white: { colour: "#f8f8f4", opacity: 92% }
        ember: { colour: "#d8431f", opacity: 70% }
      merges: [{ fold: rose, into: ember }]
      setups:
        dark: { garments: [black], order: [base, flash, ember] }
    `,
    passes: yaml`
      meshes: { base: { count: 122/in }, colour: { count: 225/in } }
      plates:
        base: { ink: white, purpose: underbase, extract: { artwork: opaque } }
        ember: { ink: ember, extract: { hue: [350, 50] }, mesh: colour }
        rose: { ink: ember, extract: { hue: [330, 350] }, mesh: colour }
      inks:
        white: { colour: "#f8f8f4", opacity: 92% }
        ember: { colour: "#d8431f", opacity: 70% }
      merges: [{ fold: rose, into: ember }]
      setups:
        dark: { garments: [black], order: [base, flash, ember] }
    `,
  },
  *check(recipe) {
    for (const [i, { fold, into }] of recipe.merges.entries()) {
      const guest = recipe.plates.get(fold)!.mesh;
      const host = recipe.plates.get(into)!.mesh;
      if (guest === undefined || host === undefined || guest === host) continue;
      yield {
        path: ["merges", i],
        message: `${fold} asks for mesh ${guest}, but prints on ${into}'s screen, whose mesh is ${host}; give both the same mesh`,
      };
    }
  },
};
