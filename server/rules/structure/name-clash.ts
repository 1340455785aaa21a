import type { Path } from "../../language/finding.ts";
import { fieldsOf, textsOf } from "../../language/partial-data.ts";
import { PRESS_STEPS } from "../../language/symbols.ts";
import type { Mark, RecipeRule } from "../rule.ts";
import { yaml } from "../yaml.ts";

/** Device names that Windows keeps for itself, whatever the ending. */
const DEVICES = /^(?:con|prn|aux|nul|com[0-9]|lpt[0-9])$/i;

/** Names of plates and setups become file names, plates' words of an order too, so they must stay apart. */
export const nameClash: RecipeRule = {
  id: "name-clash",
  looksAt: "recipe",
  level: "error",
  fixed: true,
  why: "Names of plates and setups become file names: two that differ only in capitals overwrite each other on many machines, and so do films whose setup and plate make the same name together.",
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
  *check({ symbols, doc }) {
    const first = { plate: new Map<string, string>(), setup: new Map<string, string>() };
    const films = new Map<string, string>();
    for (const { kind, name, path } of symbols.definitions) {
      if (kind !== "plate" && kind !== "setup") continue;
      const folded = fold(name);
      const earlier = first[kind].get(folded);
      first[kind].set(folded, earlier ?? name);
      if (kind === "setup") {
        if (earlier !== undefined && earlier !== name)
          yield { path, part: "key", message: inCapitals(name, earlier) };
        else yield* filmClash(doc.value, name, path, films);
      } else if (PRESS_STEPS.includes(name)) {
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
        yield { path, part: "key", message: inCapitals(name, earlier) };
      }
    }
  },
};

/** As file systems that do not tell capitals apart compare names. */
function fold(name: string): string {
  return name.normalize("NFC").toUpperCase().toLowerCase();
}

function inCapitals(name: string, earlier: string): string {
  return `"${name}" and "${earlier}" differ only in capitals, so their files would overwrite each other; rename one`;
}

/** A film is named `setup-plate`: setup "a", plate "b-c" and setup "a-b", plate "c" would share one. */
function* filmClash(value: unknown, setup: string, path: Path, films: Map<string, string>): Generator<Mark> {
  const order = textsOf(fieldsOf(fieldsOf(fieldsOf(value).setups)[setup]).order);
  const plates = new Set(order.map(([, step]) => step).filter((step) => !PRESS_STEPS.includes(step)));
  const clash = [...plates].find((plate) => (films.get(fold(`${setup}-${plate}`)) ?? setup) !== setup);
  for (const plate of plates) {
    const film = fold(`${setup}-${plate}`);
    if (!films.has(film)) films.set(film, setup);
  }
  if (clash === undefined) return;
  const other = films.get(fold(`${setup}-${clash}`));
  yield {
    path,
    part: "key",
    message: `a film of "${setup}" and one of "${other}" would both be named ${setup}-${clash}; rename one of the setups`,
  };
}
