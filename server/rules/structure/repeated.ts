import { blocksOf, listOf, textsOf } from "../../language/partial-data.ts";
import { PRESS_STEPS } from "../../language/symbols.ts";
import type { RecipeRule } from "../rule.ts";
import { yaml } from "../yaml.ts";

/** Entries that say the same thing twice. */
export const repeatedEntry: RecipeRule = {
  id: "repeated-entry",
  looksAt: "recipe",
  level: "error",
  fixed: true,
  why: "Said twice, an entry either changes nothing or leaves open which of the two holds.",
  source: "Follows from the format.",
  example: {
    fails: yaml`
      knockouts:
        - { from: base, where: black, choke: 0.4 mm }
        - { from: base, where: black, choke: 0.5 mm }
    `,
    passes: yaml`
      knockouts:
        - { from: base, where: black, choke: 0.4 mm }
    `,
  },
  *check({ doc }) {
    for (const [setup, { garments }] of blocksOf(doc.value, "setups")) {
      for (const [i, name, first] of repeats(textsOf(garments))) {
        yield {
          path: ["setups", setup, "garments", i],
          message: `"${name}" already stands at place ${first + 1} of this list`,
          data: { redundant: ["setups", setup, "garments", i] },
        };
      }
    }
    const knockouts = listOf(doc.value, "knockouts").flatMap(([i, { from, where }]): [number, string][] =>
      typeof from === "string" && typeof where === "string" ? [[i, `${from} where ${where}`]] : [],
    );
    for (const [i, pair, first] of repeats(knockouts)) {
      yield {
        path: ["knockouts", i],
        message: `knocking out ${pair} already stands at place ${first + 1}; keep one of the two`,
        data: { redundant: ["knockouts", i] },
      };
    }
    const traps = listOf(doc.value, "traps").flatMap(
      ([i, { plate, under, neighbours }]): [number, string][] => {
        if (neighbours !== undefined) return [[i, "neighbours"]];
        if (typeof plate !== "string") return [];
        return [[i, typeof under === "string" ? `${plate}" under "${under}` : plate]];
      },
    );
    for (const [i, plate, first] of repeats(traps)) {
      yield {
        path: ["traps", i, "plate"],
        message: `"${plate}" already has a trap at place ${first + 1}; a plate is either choked or spread, once`,
        data: { redundant: ["traps", i] },
      };
    }
  },
};

/** One screen stands at one station: printing a plate twice takes a second screen or a second turn of the press. */
export const repeatedPlate: RecipeRule = {
  id: "repeated-plate",
  looksAt: "recipe",
  level: "warning",
  why: "One screen stands at one station; a second print of the same plate needs a second screen.",
  source: "Follows from the format.",
  example: {
    fails: yaml`
      setups:
        dark: { garments: [black], order: [base, flash, base, flash, ember, black, glint] }
    `,
    passes: yaml`
      setups:
        dark: { garments: [black], order: [base, flash, ember, black, glint] }
    `,
  },
  *check({ doc }) {
    for (const [setup, { order }] of blocksOf(doc.value, "setups")) {
      const plates = textsOf(order).filter(([, step]) => !PRESS_STEPS.includes(step));
      for (const [i, name, first] of repeats(plates)) {
        yield {
          path: ["setups", setup, "order", i],
          message: `"${name}" already prints at station ${first + 1}; a second print needs a second screen of the same plate`,
          data: { redundant: ["setups", setup, "order", i] },
        };
      }
    }
  },
};

function* repeats(
  items: readonly (readonly [index: number, text: string])[],
): Iterable<[index: number, text: string, first: number]> {
  const firsts = new Map<string, number>();
  for (const [index, text] of items) {
    const first = firsts.get(text);
    if (first === undefined) firsts.set(text, index);
    else yield [index, text, first];
  }
}
