import { PRESS_STEPS } from "../../language/symbols.ts";
import type { RecipeRule } from "../rule.ts";
import { yaml } from "../yaml.ts";

/** Device names that Windows keeps for itself, whatever the ending. */
const DEVICES = /^(?:con|prn|aux|nul|com[0-9]|lpt[0-9])$/i;

/** Plate names become file names and words of an order, so they must stay apart. */
export const nameClash: RecipeRule = {
  id: "name-clash",
  looksAt: "recipe",
  level: "error",
  fixed: true,
  why: "Plate names become file names: two that differ only in capitals overwrite each other on many machines.",
  source: "Follows from the format.",
  example: {
    fails: yaml`
      plates:
        ember: { ink: ember, extract: { hue: [350, 50] } }
        Ember: { ink: ember, extract: { hue: [50, 80] } }
      traps: []
      garments: { white: { colour: "#f4f3ef" } }
      setups:
        light: { garments: [white], order: [ember, Ember] }
    `,
    passes: yaml`
      plates:
        ember: { ink: ember, extract: { hue: [350, 50] } }
        amber: { ink: ember, extract: { hue: [50, 80] } }
      traps: []
      garments: { white: { colour: "#f4f3ef" } }
      setups:
        light: { garments: [white], order: [ember, amber] }
    `,
  },
  *check({ symbols }) {
    const first = new Map<string, string>();
    for (const { kind, name, path } of symbols.definitions) {
      if (kind !== "plate") continue;
      const folded = name.normalize("NFC").toLowerCase();
      const earlier = first.get(folded);
      first.set(folded, earlier ?? name);
      if (PRESS_STEPS.includes(name)) {
        yield {
          path,
          part: "key",
          message: `"${name}" is what an order calls a step of the press; give the plate another name`,
        };
      } else if (DEVICES.test(name)) {
        yield {
          path,
          part: "key",
          message: `"${name}" cannot be a file name on Windows; give the plate another name`,
        };
      } else if (earlier !== undefined && earlier !== name) {
        yield {
          path,
          part: "key",
          message: `"${name}" and "${earlier}" differ only in capitals, so their files would overwrite each other; rename one`,
        };
      }
    }
  },
};
