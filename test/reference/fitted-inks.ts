import type { Lab } from "../../server/engine/colour/cielab.ts";
import { filmOf, type InkFilm, printOver } from "../../server/engine/print/ink-film.ts";
import { labFromSpectrum } from "../../server/engine/print/observer.ts";
import { spectrumOf } from "../../server/engine/print/spectrum.ts";
import { difference } from "./measured-press.ts";

type Readings = InkFilm & { readonly overWhite: Lab; readonly overBlack: Lab };

/**
 * Cyan, magenta, yellow and black as the print model has inks, fitted to the presses' sixteen solids and overprints by
 * `fittedInks`, which takes some ten seconds a press.
 */
export const FITTED_INKS = {
  FOGRA39L: [
    { overWhite: { L: 59.3, a: -41.83, b: -51.07 }, overBlack: { L: 0.1, a: 52.19, b: -78.04 } },
    { overWhite: { L: 51.27, a: 77.69, b: -1.67 }, overBlack: { L: 20.21, a: 8.72, b: -35.23 } },
    { overWhite: { L: 94.15, a: -6.03, b: 95.13 }, overBlack: { L: 7.3, a: 17.21, b: -23.53 } },
    { overWhite: { L: 20.09, a: -0.79, b: -0.29 }, overBlack: { L: 6.04, a: 0.31, b: 1.18 } },
  ],
  TR006: [
    { overWhite: { L: 57.24, a: -36.16, b: -57.04 }, overBlack: { L: 46.59, a: -112.69, b: 53.22 } },
    { overWhite: { L: 51.32, a: 77.08, b: -1.51 }, overBlack: { L: 20.08, a: -5.15, b: -26.83 } },
    { overWhite: { L: 94.63, a: -6.57, b: 94.13 }, overBlack: { L: 7.48, a: 26.48, b: -22.75 } },
    { overWhite: { L: 18.98, a: -0.9, b: -0.52 }, overBlack: { L: 5.55, a: 0.97, b: 0.85 } },
  ],
} as const satisfies Readonly<Record<string, readonly Readings[]>>;

/** ΔE00 of each overprint, by the bits of its mask, as the films print it on the press's paper in the order C, M, Y, K. */
export function overprintDifferences(inks: readonly InkFilm[], primaries: readonly Lab[]): number[] {
  const paper = spectrumOf(primaries[0]!);
  const films = inks.map(filmOf);
  return primaries.map((measured, mask) => {
    const R = Float64Array.from(paper);
    for (const [ink, film] of films.entries()) if ((mask >> ink) & 1) printOver(film, R, R);
    return difference(labFromSpectrum(R), measured);
  });
}

/** What the fit makes small: squares, solids of one ink twice. */
export function misfit(inks: readonly InkFilm[], primaries: readonly Lab[]): number {
  return overprintDifferences(inks, primaries).reduce(
    (sum, off, mask) => sum + off * off * ([1, 2, 4, 8].includes(mask) ? 2 : 1),
    0,
  );
}

/** Each number in turn a step up or down, as long as that helps; steps grow where they do, and shrink where not. */
export function fittedInks(primaries: readonly Lab[]): Readings[] {
  let numbers = [1, 2, 4, 8].flatMap((mask) => {
    const { L, a, b } = primaries[mask]!;
    return [L, a, b, mask === 8 ? 10 : 5, 0, 0];
  });
  const steps = numbers.map(() => 3);
  let least = misfit(inksOf(numbers), primaries);
  for (let round = 0; round < 150 && Math.max(...steps) > 1e-3; round++)
    for (const [i, step] of steps.entries()) {
      const tried = [step, -step].map((by) => numbers.with(i, numbers[i]! + by));
      const better = tried.find((next) => misfit(inksOf(next), primaries) < least);
      steps[i] = step * (better ? 1.3 : 0.6);
      if (!better) continue;
      numbers = better;
      least = misfit(inksOf(better), primaries);
    }
  return inksOf(numbers);
}

export function numbersOf(inks: readonly Readings[]): number[] {
  return inks.flatMap(({ overWhite: w, overBlack: k }) => [w.L, w.a, w.b, k.L, k.a, k.b]);
}

export function inksOf(numbers: readonly number[]): Readings[] {
  return [0, 6, 12, 18].map((at) => {
    const [L, a, b, dark, ka, kb] = numbers.slice(at, at + 6) as [
      number,
      number,
      number,
      number,
      number,
      number,
    ];
    return { overWhite: { L, a, b }, overBlack: { L: Math.max(0.1, dark), a: ka, b: kb } };
  });
}
