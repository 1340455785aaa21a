import { MOST_TABLED } from "../../engine/print/model.ts";
import type { Path } from "../../language/finding.ts";
import { blocksOf, fieldsOf, listOf, textsOf } from "../../language/partial-data.ts";
import { PRESS_STEPS } from "../../language/symbols.ts";
import { listed } from "../../language/words.ts";
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
    const targets = allSolvedFor(doc.value);
    const { garment, garments } = fieldsOf(fieldsOf(doc.value).solve);
    if (garment !== undefined && garments !== undefined) {
      const path = ["solve", "garment"];
      yield {
        path,
        part: "key",
        message: "garments says what plates are solved for; take garment out",
        data: { redundant: path },
      };
    }
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
      } else if (targets.length > 0 && !targets.some(({ order }) => order.includes(name))) {
        yield { path: at, message: `plates are solved for ${leftOut(targets, name)}` };
      }
    }
    if (!any) return;
    for (const { setup, order } of new Map(targets.map((target) => [target.setup, target])).values()) {
      if (order.length <= MOST_TABLED) continue;
      yield {
        path: ["setups", setup, "order"],
        message: `${order.length} plates print here; plates can be solved for at most ${MOST_TABLED}`,
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

function leftOut(targets: readonly Target[], plate: string): string {
  const [{ garment, setup }] = targets as [Target];
  if (targets.length === 1)
    return `"${garment}", and setup "${setup}" does not print "${plate}"; put it into that order`;
  const names = listed(targets.map((target) => `"${target.garment}"`));
  return `${names}, and none of their setups prints "${plate}"; put it into one's order`;
}

/** A setup and garment that plates are solved for, with the plates that print there. */
interface Target {
  readonly garment: string;
  readonly setup: string;
  readonly order: readonly string[];
}

/** The first of them. */
export function solvedFor(value: unknown): Target | undefined {
  return allSolvedFor(value)[0];
}

function allSolvedFor(value: unknown): Target[] {
  const setups = blocksOf(value, "setups");
  const { garment, garments } = fieldsOf(fieldsOf(value).solve);
  const first = garment ?? textsOf(setups[0]?.[1].garments)[0]?.[1];
  const wanted = garments === undefined ? [first] : Object.keys(fieldsOf(garments));
  return wanted.flatMap((name) => {
    const setup = setups.find(([, { garments }]) => textsOf(garments).some(([, on]) => on === name));
    if (typeof name !== "string" || !setup) return [];
    const plates = textsOf(setup[1].order).map(([, step]) => step);
    return { garment: name, setup: setup[0], order: plates.filter((step) => !PRESS_STEPS.includes(step)) };
  });
}
