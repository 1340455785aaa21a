import type { Curve } from "../adjust/curve.ts";
import type { Extraction, Region, SeparationPlan, Strength } from "../plan.ts";
import type { PrintConditions, Station } from "../print/model.ts";

/** A job whose numbers are to be moved so that its prints come nearer to the artwork. Solved plates have no numbers. */
export interface TuneJob {
  /** Names, merges, knockouts and smallest dot; what the numbers make comes from `plateAt`. */
  readonly plan: SeparationPlan;
  readonly prints: readonly TunedPrint[];
  /** Most ink that may lie wet at once, as a sum of tones: 2.4 = 240 %. */
  readonly wetInk: number;
  readonly dials: readonly Dial[];
  /** The plate number `plate` of the plan, with these values of all dials. */
  plateAt(plate: number, values: ArrayLike<number>): PlateMaking;
}

/** A setup on a garment. */
export interface TunedPrint {
  readonly garment: string;
  readonly setup: string;
  readonly conditions: PrintConditions;
  /** Those of one wet group print wet-on-wet. */
  readonly stations: readonly (Station & { readonly plate: string; readonly wetGroup: number })[];
  /** How much it counts against the others. */
  readonly weight: number;
}

/** What the tones of a plate come from. */
export interface PlateMaking {
  readonly extract: Extraction;
  readonly strength: Strength;
  /** In their order; as many, in the same regions, whatever the values. */
  readonly curves: readonly { readonly curve: Curve; readonly region: Region | undefined }[];
}

/** A number that may be moved, in whole steps. */
export interface Dial {
  /** Number of its plate in the plan. */
  readonly plate: number;
  readonly value: number;
  /** Numbers of one part are told as one change: the ends of a range, the tones of a curve. */
  readonly part: string;
  readonly low: number;
  readonly high: number;
  /** What it is moved by at first. */
  readonly step: number;
  /** Dial that it never goes under, and dial that it never goes over: the other end of a range, neighbours on a curve. */
  readonly over?: number | undefined;
  readonly under?: number | undefined;
  /** The other end of a range of hues, in degrees, which wraps. */
  readonly turn?: { readonly other: number; readonly lower: boolean } | undefined;
  /** Dials that are worth moving with it: by as much (1), or by as much the other way (−1). */
  readonly together?: readonly { readonly dial: number; readonly way: 1 | -1 }[];
}
