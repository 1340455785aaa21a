import type { TuneJob } from "../engine/tune/job.ts";
import type { Path } from "../language/finding.ts";
import type { Recipe, Strength } from "../language/recipe.ts";
import type { TunableNumber } from "../language/tunable.ts";
import { curvePlan, platePlan } from "./plan/plate-plan.ts";
import { printConditions, wetStations } from "./plan/print-plan.ts";
import { separationPlan } from "./plan/separation-plan.ts";

/** A job's numbers in the engine's terms, for the prints on some garments. */
export function tuneJob(
  recipe: Recipe,
  numbers: readonly TunableNumber[],
  garments: ReadonlyMap<string, number>,
): TuneJob {
  const plan = separationPlan(recipe);
  const names = plan.plates.map(({ name }) => name);
  return {
    plan,
    wetInk: recipe.solve.wetInk,
    dials: numbers.map(({ plate, ...number }) => ({
      ...number,
      plate: names.indexOf(plate),
      part: partOf(number.path),
    })),
    prints: [...recipe.setups].flatMap(([name, setup]) =>
      setup.garments.flatMap((garment) => {
        const weight = garments.get(garment) ?? 0;
        if (weight <= 0) return [];
        const conditions = printConditions(recipe, setup, garment);
        return [{ garment, setup: name, conditions, stations: wetStations(recipe, setup), weight }];
      }),
    ),
    plateAt(p, values) {
      const name = names[p]!;
      const { plates, adjustments } = withNumbers(recipe, numbers, values, name);
      const { extract, strength } = platePlan(plates.get(name)!, recipe);
      const curves = adjustments
        .filter(({ plate }) => plate === name)
        .map(({ curve, region }) => ({ curve: curvePlan(curve), region }));
      return { extract, strength, curves };
    },
  };
}

/** What a number is reported with: the key that it stands under, with both ends of a range and all pairs of a curve. */
function partOf(path: Path): string {
  const last = path.findLastIndex((step) => typeof step === "string");
  return JSON.stringify(path.slice(0, last + 1));
}

/** The recipe with these values of its numbers, or those of one plate alone. */
export function withNumbers(
  recipe: Recipe,
  numbers: readonly TunableNumber[],
  values: ArrayLike<number>,
  only?: string,
): Recipe {
  const plates = new Map(recipe.plates);
  let adjustments = recipe.adjustments;
  const names = only === undefined ? new Set(numbers.map(({ plate }) => plate)) : [only];
  for (const name of names) {
    const plate = plates.get(name)!;
    let { extract, strength } = plate;
    const added: Added[] = [];
    for (const [d, number] of numbers.entries()) {
      if (number.plate !== name) continue;
      const value = values[d]!;
      const { path } = number;
      const [section, , part, ...rest] = path;
      if (number.added !== undefined) added.push({ by: path[3] as Added["by"], at: number.added, value });
      else if (section === "adjust") adjustments = set(adjustments, path.slice(1), value);
      else if (part === "extract") extract = set(extract, rest, value);
      else strength = set(strength, rest, value);
    }
    strength = withCurves(strength, added);
    plates.set(name, { ...plate, extract, strength });
  }
  return { ...recipe, plates, adjustments };
}

/** A pair of a curve of strength that the recipe does not have yet. */
interface Added {
  readonly by: "lightness" | "chroma";
  readonly at: number;
  readonly value: number;
}

/** Curves are added where any pair of them is not solid. */
function withCurves(strength: Strength, added: readonly Added[]): Strength {
  let curved = strength;
  for (const by of ["lightness", "chroma"] as const) {
    const pairs = added.flatMap((pair) => (pair.by === by ? [[pair.at, pair.value]] : []));
    if (pairs.every(([, tone]) => tone === 100)) continue;
    curved = { ...(typeof curved === "object" ? curved : {}), [by]: pairs };
  }
  return curved;
}

/** Plain data with one value changed, the rest shared. */
function set<T>(data: T, path: Path, value: number): T {
  const [key, ...rest] = path;
  if (key === undefined) return value as T;
  if (Array.isArray(data)) return data.with(Number(key), set(data[Number(key)], rest, value)) as T;
  const fields = data as Record<string, unknown>;
  return { ...fields, [key]: set(fields[key], rest, value) } as T;
}
