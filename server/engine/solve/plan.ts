import { sourcesOf } from "../merge.ts";
import type { SeparationPlan, SolvedPrint, Solving, SolvingStation } from "../plan.ts";
import type { PrintConditions, Station } from "../print/model.ts";

/** A print that is solved for. Plates are numbered as in the separation's plan. */
export interface SolvePrint {
  readonly conditions: PrintConditions;
  /** The stations that print, in order. */
  readonly stations: readonly SolveStation[];
}

/** What is solved, on what, and within which limits. */
export interface SolvePlan extends SolvePrint {
  /** Other prints of the same plates, and how much each counts against this one, which counts 1. */
  readonly also?: readonly (SolvePrint & { readonly weight: number })[] | undefined;
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

/** The prints that are solved for, the first before those beside it. */
export function printsOf<T extends object>(of: T & { readonly also?: readonly T[] | undefined }): T[] {
  return [of, ...(of.also ?? [])];
}

/** All plates of a separation that are solved together, in the prints they are solved for. */
export function jointPlan(plan: SeparationPlan): SolvePlan {
  const printed = new Set(
    printsOf<SolvedPrint>(solvingOf(plan)).flatMap(({ stations }) => stations.map(({ plate }) => plate)),
  );
  // What these prints leave out has nothing to be solved by, and stays empty.
  const solved = plan.plates.flatMap(({ name, strength }, p) =>
    strength.by === "solve" && printed.has(name) ? [p] : [],
  );
  return solvePlan(plan, solved);
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

/** One plate alone on the underbases of its prints; without its own place there, on the last of them. */
export function matchPlan(plan: SeparationPlan, plate: number): SolvePlan {
  const { name } = plan.plates[plate]!;
  return solvePlan(plan, [plate], (station) => station.underbase || station.plate === name);
}

function solvePlan(
  plan: SeparationPlan,
  solved: readonly number[],
  printed: (station: SolvingStation) => boolean = () => true,
): SolvePlan {
  const solving = solvingOf(plan);
  const { wetInk, smoothness, halftonePrice } = solving;
  const number = new Map(plan.plates.map(({ name }, p) => [name, p]));
  const sources = sourcesOf(plan.merges);
  const printOf = ({ conditions, stations }: SolvedPrint): SolvePrint => ({
    conditions,
    stations: stations.filter(printed).map(({ ink, gain, screen, wetGroup, plate }) => ({
      ink,
      gain,
      screen,
      wetGroup,
      plate: number.get(plate)!,
      knockedOutBy: plan.knockouts
        .filter(({ from }) => from === plate)
        .map(({ where, above = 0 }) => ({ plate: number.get(where)!, above })),
    })),
  });
  return {
    ...printOf(solving),
    also: solving.also?.map((print) => ({ ...printOf(print), weight: print.weight })),
    plates: plan.plates.length,
    solved,
    sources: plan.plates.map(({ name }) => (sources.get(name) ?? []).map((source) => number.get(source)!)),
    wetInk,
    smoothness,
    halftonePrice,
  };
}

function solvingOf({ solving }: SeparationPlan): Solving {
  if (!solving) throw new Error("a plate is to be solved, and no print is given to solve it for");
  return solving;
}
