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
  /** Place in `solved` of a plate whose tone is asked for colour by colour; undefined for none. */
  readonly held?: number | undefined;
}

/** A station of the print, its plate by number. */
export interface SolveStation extends Station {
  readonly plate: number;
  readonly knockedOutBy: readonly { readonly plate: number; readonly above: number }[];
  /** Stations of one number print wet-on-wet; a flash begins the next. */
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

/** The same without black, whose tone then follows from what the others take, and with it held to that. */
export function processPlans(
  plan: SeparationPlan,
):
  | { readonly grey: SolvePlan; readonly whole: SolvePlan; readonly chromatic: readonly number[] }
  | undefined {
  const { process } = solvingOf(plan);
  if (!process) return undefined;
  const joint = jointPlan(plan);
  const number = (name: string) => plan.plates.findIndex((plate) => plate.name === name);
  const held = joint.solved.indexOf(number(process.black));
  if (held < 0) return undefined;
  const grey = { ...joint, solved: joint.solved.filter((_, j) => j !== held) };
  return {
    grey,
    whole: { ...joint, held },
    chromatic: process.chromatic.map((name) => grey.solved.indexOf(number(name))),
  };
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
