import type { Candidate } from "../engine/propose/trial.ts";
import type * as Formats from "../language/generated/formats.ts";
import type { ColourPlate } from "./job.ts";

/** Plates whose tones or squares are found for all together; `worth` says of each ink what the print would be without it. */
export function mixedPlates(
  inks: readonly Candidate[],
  extract: Formats.Extraction,
  worth: (ink: Candidate) => string,
): ColourPlate[] {
  return inks.map((ink) => ({
    ink,
    extract,
    comment: worth(ink),
  }));
}
