import type { Path } from "../../language/finding.ts";
import { blocksOf, fieldsOf, listOf } from "../../language/partial-data.ts";
import type { Mark, RecipeRule } from "../rule.ts";
import { yaml } from "../yaml.ts";

/** What goes in must rise along a curve: tone, or lightness or chroma along a curve of strength. */
export const risingCurve: RecipeRule = {
  id: "rising-curve",
  looksAt: "recipe",
  level: "error",
  fixed: true,
  why: "A curve that runs backwards gives one tone, or one colour, two results.",
  source: "Follows from the format.",
  example: {
    fails: yaml`
      adjust:
        - { plate: ember, curve: [[0, 0], [60, 70], [40, 55], [100, 100]] }
    `,
    passes: yaml`
      adjust:
        - { plate: ember, curve: [[0, 0], [40, 55], [60, 70], [100, 100]] }
    `,
  },
  *check({ doc }) {
    for (const [i, { curve }] of listOf(doc.value, "adjust"))
      yield* falls(curve, ["adjust", i, "curve"], "tone in");
    yield* falls(
      fieldsOf(fieldsOf(doc.value).process)["black-generation"],
      ["process", "black-generation"],
      "tone in",
    );
    for (const [name, { strength }] of blocksOf(doc.value, "plates"))
      for (const key of ["lightness", "chroma"])
        yield* falls(fieldsOf(strength)[key], ["plates", name, "strength", key], key);
  },
};

/** Pairs whose first number is no more than that of the pair before. */
function* falls(curve: unknown, path: Path, what: string): Iterable<Mark> {
  if (!Array.isArray(curve)) return;
  for (let k = 1; k < curve.length; k++) {
    const [before, here] = [firstNumber(curve[k - 1]), firstNumber(curve[k])];
    if (before === undefined || here === undefined || here > before) continue;
    yield {
      path: [...path, k],
      message: `${what} goes from ${before} to ${here}; it must rise from pair to pair`,
    };
  }
}

const ONE_WAY = ["lightness", "chroma", "opacity"];

/** A range runs from its lower to its upper end; only hue wraps. */
export const risingRange: RecipeRule = {
  id: "rising-range",
  looksAt: "recipe",
  level: "error",
  fixed: true,
  why: "A range with its ends swapped holds nothing, and the plate stays empty.",
  source: "Follows from the format.",
  example: {
    fails: yaml`
      plates:
        base: { ink: white, purpose: underbase, extract: { lightness: [100, 20] } }
      setups:
        dark: { garments: [black], order: [base] }
    `,
    passes: yaml`
      plates:
        base: { ink: white, purpose: underbase, extract: { lightness: [20, 100] } }
      setups:
        dark: { garments: [black], order: [base] }
    `,
  },
  *check({ doc }) {
    for (const [name, { extract }] of blocksOf(doc.value, "plates")) {
      yield* ranges(extract, ["plates", name, "extract"]);
    }
  },
};

function* ranges(extraction: unknown, path: Path): Iterable<Mark> {
  const fields = fieldsOf(extraction);
  for (const key of ONE_WAY) {
    const range = fields[key];
    if (!Array.isArray(range)) continue;
    const [from, to] = range;
    if (typeof from !== "number" || typeof to !== "number" || from <= to) continue;
    yield {
      path: [...path, key],
      message: `${key} runs from ${from} down to ${to}; write [${to}, ${from}]`,
      data: { replacement: `[${to}, ${from}]` },
    };
  }
  for (const key of ["all", "any"]) {
    for (const [i, part] of listOf(fields, key)) yield* ranges(part, [...path, key, i]);
  }
  if (fields.except !== undefined) yield* ranges(fields.except, [...path, "except"]);
}

function firstNumber(pair: unknown): number | undefined {
  const first: unknown = Array.isArray(pair) ? pair[0] : undefined;
  return typeof first === "number" ? first : undefined;
}
