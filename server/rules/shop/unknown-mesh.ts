import { nearest, suggestion } from "../../language/suggest.ts";
import type { ShopRule } from "../rule.ts";
import { yaml } from "../yaml.ts";

/** The usual meshes are meshes that the shop has. */
export const unknownMesh: ShopRule = {
  id: "unknown-mesh",
  looksAt: "shop",
  level: "error",
  fixed: true,
  why: "A mesh that the shop does not have leaves its plates without any.",
  source: "Follows from the format.",
  example: {
    fails: yaml`
      meshes: { base: { count: 122/in } }
      usual-mesh: { underbase: bas }
    `,
    passes: yaml`
      meshes: { base: { count: 122/in } }
      usual-mesh: { underbase: base }
    `,
  },
  *check({ symbols }) {
    const known = symbols.definitions.filter(({ kind }) => kind === "mesh").map(({ name }) => name);
    for (const { kind, name, path } of symbols.references) {
      if (kind !== "mesh" || known.includes(name)) continue;
      const replacement = nearest(name, known);
      yield {
        path,
        message: `there is no mesh "${name}"${suggestion(name, known, "meshes are", replacement)}`,
        ...(replacement === undefined ? {} : { data: { replacement } }),
      };
    }
  },
};
