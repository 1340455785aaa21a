/**
 * Which bands should the print model mix in? Twelve invented inks, each a smooth spectrum of absorption and of
 * scattering (no measured ones are free to use), are printed by two-constant Kubelka–Munk at 10 nm: the reference.
 * A model then knows of each ink only its CIELAB over white and over black, and foretells overprints and halftones.
 */
import { deltaE00 } from "../../server/engine/colour/ciede2000.ts";
import { type Lab, labFromLinear, linearFromLab } from "../../server/engine/colour/cielab.ts";
import { type Film, filmOf, printOver } from "../../server/engine/print/ink-film.ts";
import { type Layer, layer, layerFromReadings, over } from "../../server/engine/print/kubelka-munk.ts";
import { BANDS, FIRST_NM, labFromSpectrum, STEP_NM } from "../../server/engine/print/observer.ts";

/** Absorption: bands of [height, centre nm, width nm]; `cut` absorbs all below a wavelength, as yellows to reds do. */
interface Pigment {
  readonly name: string;
  readonly absorbs: readonly (readonly [height: number, centre: number, width: number])[];
  readonly cut?: readonly [height: number, edge: number, slope: number];
  readonly base: number;
  /** Scattering at 550 nm, and how it grows towards blue: S ∝ λ^−slope. */
  readonly scatters: readonly [at550: number, slope: number];
}

const PIGMENTS: readonly Pigment[] = [
  { name: "white", absorbs: [[0.4, 385, 18]], base: 0.01, scatters: [7, 0.6] },
  { name: "yellow", absorbs: [], cut: [4, 497, 11], base: 0.02, scatters: [1.1, 0.8] },
  { name: "gold", absorbs: [], cut: [4.5, 520, 16], base: 0.05, scatters: [1.3, 0.8] },
  { name: "orange", absorbs: [], cut: [5, 563, 13], base: 0.03, scatters: [1, 0.7] },
  { name: "red", absorbs: [[0.6, 420, 40]], cut: [5, 592, 12], base: 0.03, scatters: [0.9, 0.7] },
  { name: "rose", absorbs: [[3.4, 535, 38]], base: 0.05, scatters: [0.7, 0.8] },
  {
    name: "violet",
    absorbs: [
      [4, 570, 42],
      [1, 640, 40],
    ],
    base: 0.08,
    scatters: [0.5, 0.9],
  },
  { name: "blue", absorbs: [[4.5, 610, 60]], base: 0.06, scatters: [0.6, 0.9] },
  { name: "turquoise", absorbs: [[3.6, 650, 55]], base: 0.04, scatters: [0.6, 0.9] },
  {
    name: "green",
    absorbs: [
      [3.5, 645, 50],
      [3, 420, 40],
    ],
    base: 0.06,
    scatters: [0.7, 0.9],
  },
  { name: "brown", absorbs: [[1.2, 620, 70]], cut: [4, 560, 40], base: 0.3, scatters: [0.9, 0.5] },
  { name: "black", absorbs: [], base: 6, scatters: [0.15, 0.3] },
];

const AREAS = [0.3, 0.7] as const;
const GROUNDS = [0.9, 0.02] as const;

export interface MixingError {
  readonly model: string;
  readonly mean: number;
  readonly p95: number;
  readonly worst: number;
  readonly cases: number;
}

/** ΔE00 of each model against the spectral reference, over all ordered pairs of the inks on white and on dark garments. */
export function mixingErrors(): MixingError[] {
  const inks = PIGMENTS.map((pigment) => {
    const film = reference(pigment);
    const overWhite = labFromSpectrum(printed([film], 1));
    const overBlack = labFromSpectrum(printed([film], 0));
    return {
      film,
      overWhite,
      overBlack,
      rebuilt: filmOf({ overWhite, overBlack }),
      three: threeBands(overWhite, overBlack),
    };
  });
  const errors: Record<string, number[]> = { "three linear bands": [], "rebuilt spectra": [] };
  for (const below of inks) {
    for (const above of inks) {
      if (below === above) continue;
      for (const ground of GROUNDS) {
        const sheets = (films: readonly Film[]) =>
          mixtures(
            films.map((f) => f),
            ground,
          );
        const truth = sheets([below.film, above.film]).map(labFromSpectrum);
        const rebuilt = sheets([below.rebuilt, above.rebuilt]).map(labFromSpectrum);
        const three = mixturesOfThree([below.three, above.three], ground);
        for (const [i, lab] of truth.entries()) {
          errors["three linear bands"]!.push(difference(lab, three[i]!));
          errors["rebuilt spectra"]!.push(difference(lab, rebuilt[i]!));
        }
      }
    }
  }
  return Object.entries(errors).map(([model, values]) => {
    values.sort((a, b) => a - b);
    return {
      model,
      mean: values.reduce((a, b) => a + b, 0) / values.length,
      p95: values[Math.floor(values.length * 0.95)]!,
      worst: values.at(-1)!,
      cases: values.length,
    };
  });
}

function reference({ absorbs, cut, base, scatters: [at550, slope] }: Pigment): Film {
  const reflected = new Float64Array(BANDS);
  const transmittanceSquared = new Float64Array(BANDS);
  for (let i = 0; i < BANDS; i++) {
    const nm = FIRST_NM + i * STEP_NM;
    let K = base;
    for (const [height, centre, width] of absorbs)
      K += height * Math.exp(-(((nm - centre) / width) ** 2) / 2);
    if (cut) K += cut[0] / (1 + Math.exp((nm - cut[1]) / cut[2]));
    const found = layer(K, at550 * (nm / 550) ** -slope, 1);
    reflected[i] = found.reflected;
    transmittanceSquared[i] = found.transmittanceSquared;
  }
  return { reflected, transmittanceSquared };
}

function printed(films: readonly Film[], ground: number): Float64Array {
  const R = new Float64Array(BANDS).fill(ground);
  for (const film of films) printOver(film, R, R);
  return R;
}

/** The solid overprint, and both halftones printed on one another: Demichel's areas, n = 1. */
function mixtures(films: readonly Film[], ground: number): Float64Array[] {
  const [below, above] = films as [Film, Film];
  const primaries = [[], [below], [above], [below, above]].map((stack) => printed(stack, ground));
  return areasOf().map((areas) =>
    primaries[0]!.map((_, i) => areas.reduce((s, a, p) => s + a * primaries[p]![i]!, 0)),
  );
}

function mixturesOfThree(inks: readonly (readonly Layer[])[], ground: number): Lab[] {
  const primaries = [[], [0], [1], [0, 1]].map((stack) =>
    [0, 1, 2].map((band) => stack.reduce((G, ink) => over(inks[ink]![band]!, G), ground)),
  );
  return areasOf().map((areas) => {
    const [r, g, b] = [0, 1, 2].map((band) => areas.reduce((s, a, p) => s + a * primaries[p]![band]!, 0)) as [
      number,
      number,
      number,
    ];
    return labFromLinear({ r, g, b });
  });
}

function areasOf(): number[][] {
  const pairs = [
    [1, 1] as const,
    ...AREAS.flatMap((a) => AREAS.map((b) => [a, b] as const)),
    [1, 0.5] as const,
  ];
  return pairs.map(([a, b]) => [(1 - a) * (1 - b), a * (1 - b), (1 - a) * b, a * b]);
}

function threeBands(overWhite: Lab, overBlack: Lab): Layer[] {
  const [light, dark] = [linearFromLab(overWhite), linearFromLab(overBlack)];
  const clip = (v: number) => Math.min(1, Math.max(0, v));
  return (["r", "g", "b"] as const).map((band) => layerFromReadings(clip(light[band]), clip(dark[band])));
}

function difference(x: Lab, y: Lab): number {
  return deltaE00(x.L, x.a, x.b, y.L, y.a, y.b);
}
