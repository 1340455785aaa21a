import type { Candidate } from "../engine/propose/trial.ts";
import type { ColourPlate } from "./job.ts";

/** Plates whose tones the solver finds; `worth` says of each ink what the print would be without it. */
export function solvedPlates(inks: readonly Candidate[], worth: (ink: Candidate) => string): ColourPlate[] {
  return inks.map((ink) => ({
    ink,
    extract: { solve: "jointly" },
    comment: worth(ink),
  }));
}
