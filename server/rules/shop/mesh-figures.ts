import { MM_PER_INCH } from "../../engine/units.ts";
import { blocksOf } from "../../language/partial-data.ts";
import { parseLength } from "../../language/values/length.ts";
import { parseMeshCount } from "../../language/values/screen.ts";
import type { ShopRule } from "../rule.ts";
import { figure } from "../words.ts";
import { yaml } from "../yaml.ts";

/** Makers measure after weaving and round; more than this is a figure from another row of the table. */
const MOST_OFF = 0.08;

/** Count, thread and opening of a mesh say the same thing twice. */
export const meshFigures: ShopRule = {
  id: "mesh-figures",
  looksAt: "shop",
  level: "warning",
  why: "One thread and one opening make one pitch; a wrong figure gives wrong ink volumes and wrong advice on dots.",
  source: "Follows from the weave: pitch = thread + opening.",
  example: {
    fails: yaml`
      meshes:
        fine: { count: 225/in, thread: 40 um, opening: 37 um }
    `,
    passes: yaml`
      meshes:
        fine: { count: 225/in, thread: 40 um, opening: 73 um }
    `,
  },
  *check({ doc }) {
    for (const [name, { count, thread, opening }] of blocksOf(doc.value, "meshes")) {
      const threads = typeof count === "string" ? parseMeshCount(count) : undefined;
      const [d, w] = [thread, opening].map((text) =>
        typeof text === "string" ? parseLength(text) : undefined,
      );
      if (!threads?.ok || !d?.ok || !w?.ok || threads.value <= 0) continue;
      const pitch = MM_PER_INCH / threads.value;
      const made = d.value + w.value;
      if (Math.abs(made - pitch) <= MOST_OFF * pitch) continue;
      yield {
        path: ["meshes", name],
        part: "key",
        message: `${count} make a pitch of ${figure(pitch * 1000)} µm, but thread and opening make ${figure(made * 1000)} µm; look the figures up in the mesh maker's table`,
      };
    }
  },
};
