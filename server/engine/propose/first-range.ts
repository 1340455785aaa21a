import { chromaOf, hueOf, type Lab } from "../colour/cielab.ts";
import { colourOf } from "../print/ink-film.ts";
import type { Candidate, Trial } from "./trial.ts";

/** One plate's ranges in whole numbers, as a person would write them: L*, C*ab, hab in degrees. */
export interface FittedRange {
  /** Missing for neutral inks. */
  hue?: { centre: number; half: number; fade: number };
  chroma: { least: number; most: number; fade: number };
  lightness: { least: number; most: number; fade: number };
}

/** A plate of less C*ab prints neutrals. Common practice, no source. */
const NEUTRAL = 10;
export const MOST_CHROMA = 150;

/** Where the trial prints the ink: around the colours that get most of it. */
export function firstRange(ink: Candidate, trial: Pick<Trial, "colours" | "tone">, i: number): FittedRange {
  const own = colourOf(ink.film);
  const used = trial.colours.map(({ lab, weight }, c) => ({ lab, weight: weight * trial.tone(c, i) }));
  const strong = used.filter((_, c) => trial.tone(c, i) > 0.3);
  const mean = meanOf(strong.length > 0 ? strong : used, own);
  const chroma = chromaOf(own.a, own.b);
  const neutral = chroma < NEUTRAL || own.L < 25;
  // Inks are more vivid than most of what they print.
  const printed = Math.min(chroma, chromaOf(mean.a, mean.b));
  return {
    ...(neutral
      ? {}
      : {
          hue: {
            centre: Math.round(hueOf(mean.a, mean.b)) || Math.round(hueOf(own.a, own.b)),
            half: 20,
            fade: 25,
          },
        }),
    chroma: neutral
      ? { least: 0, most: own.L < 25 ? MOST_CHROMA : 8, fade: 16 }
      : { least: Math.round(printed * 0.6), most: MOST_CHROMA, fade: Math.max(4, Math.round(printed * 0.5)) },
    lightness: {
      least: Math.max(0, Math.round(own.L < 25 ? 0 : mean.L - 25)),
      most: Math.min(100, Math.round(own.L < 25 ? 12 : mean.L + 25)),
      fade: own.L < 25 ? 36 : 16,
    },
  };
}

function meanOf(colours: readonly { lab: Lab; weight: number }[], otherwise: Lab): Lab {
  const total = colours.reduce((sum, { weight }) => sum + weight, 0);
  if (!(total > 0)) return otherwise;
  const of = (pick: (lab: Lab) => number) =>
    colours.reduce((sum, { lab, weight }) => sum + weight * pick(lab), 0) / total;
  return { L: of(({ L }) => L), a: of(({ a }) => a), b: of(({ b }) => b) };
}
