import type { Curve } from "../../engine/adjust/curve.ts";
import type { ProcessPlan, SolvedPrint, Solving, SolvingStation } from "../../engine/plan.ts";
import type { Plate, Recipe, Setup } from "../../language/recipe.ts";
import { printConditions, wetStations } from "./print-plan.ts";

/** A print that plates are solved for. */
export interface SolvedFor {
  readonly setup: Setup;
  readonly garment: string;
  /** How much it counts against the others. */
  readonly weight: number;
}

/** The first print that plates are solved for. */
export function solvedFor(recipe: Recipe): SolvedFor | undefined {
  return allSolvedFor(recipe)[0];
}

/** All of them, in the order of `solve.garments`. */
export function allSolvedFor({ setups, solve }: Recipe): SolvedFor[] {
  const all = [...setups.values()];
  const first = all[0]?.garments[0];
  const garments = solve.garments ?? new Map(first === undefined ? [] : [[first, 1]]);
  return [...garments].flatMap(([garment, weight]) => {
    const setup = all.find((one) => one.garments.includes(garment));
    return setup ? [{ setup, garment, weight }] : [];
  });
}

export function solving(recipe: Recipe): Solving | undefined {
  const { plates, solve } = recipe;
  const [first, ...others] = allSolvedFor(recipe);
  if (!first || ![...plates.values()].some(isFound)) return undefined;
  return {
    ...solvedPrint(recipe, first),
    also: others.map((print) => ({ ...solvedPrint(recipe, print), weight: print.weight / first.weight })),
    wetInk: solve.wetInk,
    smoothness: solve.smoothness,
    halftonePrice: solve.halftonePrice,
    process: processPlan(recipe),
    onlyGarment: new Set([...recipe.setups.values()].flatMap(({ garments }) => garments)).size === 1,
  };
}

function solvedPrint(recipe: Recipe, { setup, garment }: SolvedFor): SolvedPrint {
  return {
    conditions: printConditions(recipe, setup, garment),
    stations: wetStations(recipe, setup).map(
      (station): SolvingStation => ({
        ...station,
        underbase: recipe.plates.get(station.plate)!.purpose === "underbase",
      }),
    ),
  };
}

function processPlan({ process }: Recipe): ProcessPlan | undefined {
  if (!process) return undefined;
  const { cyan, magenta, yellow, black, blackGeneration } = process;
  return {
    chromatic: [cyan, magenta, yellow],
    black,
    blackGeneration: blackGeneration.map(([grey, tone]) => [grey / 100, tone / 100] as const) satisfies Curve,
  };
}

function isFound({ extract, strength }: Plate): boolean {
  return extract.solve !== undefined || strength === "match";
}
