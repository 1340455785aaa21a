import { fieldsOf } from "../../language/partial-data.ts";
import type { RecipeRule } from "../rule.ts";
import { yaml } from "../yaml.ts";

const INKS = ["cyan", "magenta", "yellow", "black"] as const;

const PROCESS = yaml`
  garments: { white: { colour: "#f4f3ef" } }
  inks:
    cyan: { colour: lab(60 -38 -46), opacity: 5% }
    magenta: { colour: lab(52 72 -3), opacity: 5% }
    yellow: { colour: lab(92 -5 90), opacity: 5% }
    black: { colour: "#131316", opacity: 97% }
  plates:
    cyan: { ink: cyan, extract: { solve: jointly } }
    magenta: { ink: magenta, extract: { solve: jointly } }
    yellow: { ink: yellow, extract: { solve: jointly } }
    black: { ink: black, purpose: shadow, extract: { solve: jointly } }
  process: { cyan: cyan, magenta: magenta, yellow: yellow, black: black }
  setups:
    light: { garments: [white], order: [black, magenta, cyan, yellow] }
`;

/** Process colours are solved together, each by a plate of its own. */
export const processPlate: RecipeRule = {
  id: "process-plate",
  looksAt: "recipe",
  level: "error",
  fixed: true,
  why: "Black replaces what cyan, magenta and yellow have in common, so all four must be solved, each on its own plate.",
  source: "Follows from the format.",
  example: {
    fails: PROCESS.replace(
      "black: { ink: black, purpose: shadow, extract: { solve: jointly } }",
      "black: { ink: black, purpose: shadow, extract: { lightness: [0, 18] } }",
    ),
    passes: PROCESS,
  },
  *check({ doc }) {
    const { process, plates } = fieldsOf(doc.value);
    const named = fieldsOf(process);
    const all = fieldsOf(plates);
    for (const [i, ink] of INKS.entries()) {
      const plate = named[ink];
      if (typeof plate !== "string" || !Object.hasOwn(all, plate)) continue;
      const path = ["process", ink];
      const twice = INKS.slice(0, i).find((other) => named[other] === plate);
      if (twice)
        yield { path, message: `"${plate}" prints ${twice} already; name a plate of its own for ${ink}` };
      else if (fieldsOf(fieldsOf(all[plate]).extract).solve === undefined)
        yield { path, message: `"${plate}" is not solved; write extract: { solve: jointly } there` };
    }
  },
};
