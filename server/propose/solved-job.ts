import type { Candidate } from "../engine/propose/trial.ts";
import type * as Formats from "../language/generated/formats.ts";
import { BACKGROUND_WITHIN, type Look } from "./artwork.ts";
import type { ColourPlate } from "./job.ts";

/** Plates whose tones the solver finds; `worth` says of each ink what the print would be without it. */
export function solvedPlates(
  inks: readonly Candidate[],
  { backdrop }: Look,
  worth: (ink: Candidate) => string,
): ColourPlate[] {
  return inks.map((ink) => ({
    ink,
    extract: { solve: "jointly", ...exceptBackground(backdrop) },
    comment: worth(ink),
  }));
}

export function exceptBackground(backdrop: Look["backdrop"]): Pick<Formats.Extraction, "except"> {
  return backdrop ? { except: { near: backdrop.hex, within: BACKGROUND_WITHIN } } : {};
}
