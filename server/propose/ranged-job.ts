import type { FittedRange } from "../engine/propose/first-range.ts";
import { fitRanges, turnOf } from "../engine/propose/fit-ranges.ts";
import type { Candidate, Trial } from "../engine/propose/trial.ts";
import type * as Formats from "../language/generated/formats.ts";
import type { ColourPlate } from "./job.ts";

/** Plates of ranges that are fitted to the picture, for those who go on by hand. */
export function rangedPlates(
  inks: readonly Candidate[],
  trial: Trial,
  worth: (ink: Candidate) => string,
): ColourPlate[] {
  const ranges = fitRanges(trial);
  return inks.map((ink) => ({
    ink,
    extract: extractionOf(ranges.get(ink)!),
    comment: worth(ink),
  }));
}

/** Ranges that hold everything are left out. */
function extractionOf({ hue, chroma, lightness }: FittedRange): Formats.Extraction {
  const turn = hue && turnOf(hue);
  const hasChroma = chroma.least > 0 || chroma.most < 140;
  const hasLightness = lightness.least > 0 || lightness.most < 100;
  if (!hue && !hasChroma && !hasLightness) return { artwork: "opaque" };
  return {
    ...(turn ? { hue: [turn.from, turn.to] } : {}),
    ...(hasChroma ? { chroma: [chroma.least, chroma.most] } : {}),
    ...(hasLightness ? { lightness: [lightness.least, lightness.most] } : {}),
    fade: {
      ...(hue ? { hue: hue.fade } : {}),
      ...(hasChroma ? { chroma: chroma.fade } : {}),
      ...(hasLightness ? { lightness: lightness.fade } : {}),
    },
  };
}
