import { sourcesOf } from "../merge.ts";
import type { SeparationPlan } from "../plan.ts";
import type { PrintConditions, Station } from "../print/model.ts";

/** What is solved, on what, and within which limits. Plates are numbered as in the separation's plan. */
export interface SolvePlan {
  readonly conditions: PrintConditions;
  /** The stations that print, in order. */
  readonly stations: readonly SolveStation[];
  /** How many plates the separation has. */
  readonly plates: number;
  /** The plates that are solved. */
  readonly solved: readonly number[];
  /** `sources[plate]`: the plates that are folded into it. */
  readonly sources: readonly (readonly number[])[];
  /** Most ink that lies wet at once, as a sum of tones: 2.4 = 240 %. */
  readonly wetInk: number;
  /** How firmly neighbouring colours hold one another's tones; 1 is usual, 0 lets every colour go its own way. */
  readonly smoothness: number;
  /** What halftones upon one another cost; 1 is usual, 0 nothing. */
  readonly halftonePrice: number;
}

/** A station of the print, its plate by number. */
export interface SolveStation extends Station {
  readonly plate: number;
  readonly knockedOutBy: readonly { readonly plate: number; readonly above: number }[];
  /** Stations of one number print wet on wet; a flash begins the next. */
  readonly wetGroup: number;
}

/** All plates of a separation that are solved together, in the print they are solved for. */
export function jointPlan(plan: SeparationPlan): SolvePlan {
  const solving = solvingOf(plan);
  const printed = new Set(solving.stations.map(({ plate }) => plate));
  // What this print leaves out has nothing to be solved by, and stays empty.
  const solved = plan.plates.flatMap(({ name, strength }, p) =>
    strength.by === "solve" && printed.has(name) ? [p] : [],
  );
  return solvePlan(plan, solving.stations, solved);
}

/** One plate alone on the underbases of its print; without its own place there, on the last of them. */
export function matchPlan(plan: SeparationPlan, plate: number): SolvePlan {
  const { stations } = solvingOf(plan);
  const { name } = plan.plates[plate]!;
  return solvePlan(
    plan,
    stations.filter((station) => station.underbase || station.plate === name),
    [plate],
  );
}

function solvePlan(plan: SeparationPlan, stations: Stations, solved: readonly number[]): SolvePlan {
  const { conditions, wetInk, smoothness, halftonePrice } = solvingOf(plan);
  const number = new Map(plan.plates.map(({ name }, p) => [name, p]));
  const sources = sourcesOf(plan.merges);
  return {
    conditions,
    stations: stations.map(({ ink, gain, screen, wetGroup, plate }) => ({
      ink,
      gain,
      screen,
      wetGroup,
      plate: number.get(plate)!,
      knockedOutBy: plan.knockouts
        .filter(({ from }) => from === plate)
        .map(({ where, above = 0 }) => ({ plate: number.get(where)!, above })),
    })),
    plates: plan.plates.length,
    solved,
    sources: plan.plates.map(({ name }) => (sources.get(name) ?? []).map((source) => number.get(source)!)),
    wetInk,
    smoothness,
    halftonePrice,
  };
}

type Stations = NonNullable<SeparationPlan["solving"]>["stations"];

function solvingOf({ solving }: SeparationPlan): NonNullable<SeparationPlan["solving"]> {
  if (!solving) throw new Error("a plate is to be solved, and no print is given to solve it for");
  return solving;
}
