import { MOST_TABLED } from "../../engine/print/model.ts";
import type { Path } from "../../language/finding.ts";
import { blocksOf, fieldsOf, listOf, textsOf } from "../../language/partial-data.ts";
import { PRESS_STEPS } from "../../language/symbols.ts";
import type { Mark, RecipeRule } from "../rule.ts";
import { yaml } from "../yaml.ts";

/** A solved plate's tones follow from the print that it is solved for, so it must print there by itself. */
export const solvedPlate: RecipeRule = {
  id: "solved-plate",
  looksAt: "recipe",
  level: "error",
  fixed: true,
  why: "A plate that does not print where plates are solved for has nothing to be solved by, and stays empty.",
  source: "Follows from the format.",
  example: {
    fails: yaml`
      plates:
        base: { ink: white, purpose: underbase, extract: { solve: jointly } }
        ember: { ink: ember, extract: { solve: jointly } }
        black: { ink: black, purpose: shadow, extract: { solve: jointly } }
        glint: { ink: white, purpose: highlight, extract: { solve: jointly } }
      setups:
        dark: { garments: [black], order: [base, flash, ember, black] }
    `,
    passes: yaml`
      plates:
        base: { ink: white, purpose: underbase, extract: { solve: jointly } }
        ember: { ink: ember, extract: { solve: jointly } }
        black: { ink: black, purpose: shadow, extract: { solve: jointly } }
        glint: { ink: white, purpose: highlight, extract: { solve: jointly } }
    `,
  },
  *check({ doc }) {
    const folded = new Set(listOf(doc.value, "merges").map(([, { fold }]) => fold));
    const target = solvedFor(doc.value);
    let any = false;
    for (const [name, { extract }] of blocksOf(doc.value, "plates")) {
      const path = ["plates", name, "extract"];
      yield* misplaced(
        extract,
        path,
        "solve",
        "solve stands directly under extract; what is combined here says where the plate may print",
      );
      if (fieldsOf(extract).solve === undefined) continue;
      any = true;
      const at = [...path, "solve"];
      if (folded.has(name)) {
        yield {
          path: at,
          message: `"${name}" is folded into another plate and prints with its ink; solve that plate, or take the merge out`,
        };
      } else if (target && !target.order.includes(name)) {
        yield {
          path: at,
          message: `plates are solved for "${target.garment}", and setup "${target.setup}" does not print "${name}"; put it into that order`,
        };
      }
    }
    if (any && target && target.order.length > MOST_TABLED) {
      yield {
        path: ["setups", target.setup, "order"],
        message: `${target.order.length} plates print here; plates can be solved for at most ${MOST_TABLED}`,
      };
    }
  },
};

/** Strength turns membership into tone; a solved plate's tones come from the print. */
export const solvedStrength: RecipeRule = {
  id: "solved-strength",
  looksAt: "recipe",
  level: "warning",
  why: "The reader of the recipe takes a strength for what makes the tones, and it does not.",
  source: "Follows from the format.",
  example: {
    fails: yaml`
      plates:
        base: { ink: white, purpose: underbase, extract: { artwork: opaque } }
        ember: { ink: ember, extract: { solve: jointly }, strength: chroma }
      setups:
        dark: { garments: [black], order: [base, flash, ember] }
    `,
    passes: yaml`
      plates:
        base: { ink: white, purpose: underbase, extract: { artwork: opaque } }
        ember: { ink: ember, extract: { solve: jointly } }
      setups:
        dark: { garments: [black], order: [base, flash, ember] }
    `,
  },
  *check({ doc }) {
    for (const [name, { extract, strength }] of blocksOf(doc.value, "plates")) {
      const { solve, index } = fieldsOf(extract);
      if (strength === undefined || (solve === undefined && index === undefined)) continue;
      const path = ["plates", name, "strength"];
      yield {
        path,
        part: "key",
        message: `"${name}" is ${solve === undefined ? "indexed" : "solved"}, so its strength changes nothing; take it out`,
        data: { redundant: path },
      };
    }
  },
};

/** A key that belongs directly under extract, inside of what combines extractions, where it would say nothing. */
export function* misplaced(
  extraction: unknown,
  path: Path,
  key: "solve" | "index",
  message: string,
): Iterable<Mark> {
  const fields = fieldsOf(extraction);
  const parts: [Path, unknown][] = ["all", "any"].flatMap((list) =>
    listOf(fields, list).map(([i, part]): [Path, unknown] => [[...path, list, i], part]),
  );
  if (fields.except !== undefined) parts.push([[...path, "except"], fields.except]);
  for (const [at, part] of parts) {
    if (fieldsOf(part)[key] !== undefined) yield { path: [...at, key], message };
    yield* misplaced(part, at, key, message);
  }
}

/** The setup and garment that plates are solved for, with the plates that print there. */
export function solvedFor(value: unknown): { garment: string; setup: string; order: string[] } | undefined {
  const setups = blocksOf(value, "setups");
  const wanted = fieldsOf(fieldsOf(value).solve).garment ?? textsOf(setups[0]?.[1].garments)[0]?.[1];
  if (typeof wanted !== "string") return undefined;
  for (const [setup, { garments, order }] of setups) {
    if (!textsOf(garments).some(([, garment]) => garment === wanted)) continue;
    const plates = textsOf(order).map(([, step]) => step);
    return { garment: wanted, setup, order: plates.filter((step) => !PRESS_STEPS.includes(step)) };
  }
  return undefined;
}
