import type { Lab } from "../colour/cielab.ts";
import { type Layer, layerFromReadings, layerOfScattering } from "./kubelka-munk.ts";
import { BANDS, type Spectrum, XYZ_WEIGHTS } from "./observer.ts";
import { spectrumOf } from "./spectrum.ts";

/** What is known of an ink. */
export type InkFilm =
  | {
      /** Colour of a solid print over ideal white. */
      readonly colour: Lab;
      /** Contrast ratio 0–1, ISO 6504-3: luminance of a solid print over black ÷ over white. */
      readonly opacity: number;
    }
  | {
      /** Colours of a solid print, measured over a white and over a black card. */
      readonly overWhite: Lab;
      readonly overBlack: Lab;
      /** The card itself; without it, ideal white and black. */
      readonly card?: Card | undefined;
    };

export interface Card {
  readonly white: Lab;
  readonly black: Lab;
}

/** The solid film of an ink, band by band. */
export interface Film {
  /** Reflectance over black. */
  readonly reflected: Spectrum;
  /** Transmittance squared. */
  readonly passed: Spectrum;
}

/** Colour of a solid print over white, as far as it is known. */
export function colourOf(ink: InkFilm): Lab {
  return "colour" in ink ? ink.colour : ink.overWhite;
}

/** Contrast ratio 0–1: as given, or from what was measured. */
export function opacityOf(ink: InkFilm): number {
  if ("colour" in ink) return ink.opacity;
  const film = filmOf(ink);
  const white = new Float64Array(BANDS).fill(1);
  printOver(film, white, white);
  return luminance(film.reflected) / luminance(white);
}

export function filmOf(ink: InkFilm): Film {
  return "colour" in ink ? fromOpacity(ink.colour, ink.opacity) : fromReadings(ink);
}

/** Over a ground, written to `out`, which may be the ground. */
export function printOver({ reflected, passed }: Film, ground: Spectrum, out: Spectrum): void {
  for (let i = 0; i < BANDS; i++) {
    const G = ground[i]!;
    const r = reflected[i]!;
    out[i] = r + (passed[i]! * G) / (1 - r * G);
  }
}

/** A cloth's reflectance. */
export function groundOf(colour: Lab): Spectrum {
  return spectrumOf(colour);
}

function fromReadings(ink: { overWhite: Lab; overBlack: Lab; card?: Card | undefined }): Film {
  const light = spectrumOf(ink.overWhite);
  // No ink is brighter over black than over white in any band.
  const dark = spectrumOf(ink.overBlack, light);
  const white = ink.card && spectrumOf(ink.card.white);
  const black = ink.card && spectrumOf(ink.card.black);
  return film((i) => layerFromReadings(light[i]!, dark[i]!, white?.[i] ?? 1, black?.[i] ?? 0));
}

/** Scattering beyond this hides all. */
const MOST_SCATTERING = 1e4;

/**
 * One contrast ratio says nothing of single bands: the film scatters alike in all of them, and absorbs what its
 * colour asks for. More scattering always raises the ratio, so halving finds it.
 */
function fromOpacity(colour: Lab, opacity: number): Film {
  const light = spectrumOf(colour);
  const layers = (S: number) => Array.from(light, (R) => layerOfScattering(S, R));
  if (opacity <= 0) return film((i) => ({ reflected: 0, passed: light[i]! }));
  if (opacity >= 1) return film((i) => ({ reflected: light[i]!, passed: 0 }));
  const Y = luminance(light);
  let low = Math.log(1e-6);
  let high = Math.log(MOST_SCATTERING);
  for (let i = 0; i < 40; i++) {
    const middle = (low + high) / 2;
    const ratio = luminance(layers(Math.exp(middle)).map(({ reflected }) => reflected)) / Y;
    if (Math.abs(ratio - opacity) < 1e-5) return fromLayers(layers(Math.exp(middle)));
    if (ratio < opacity) low = middle;
    else high = middle;
  }
  return fromLayers(layers(Math.exp((low + high) / 2)));
}

function fromLayers(layers: readonly Layer[]): Film {
  return film((i) => layers[i]!);
}

function film(at: (band: number) => Layer): Film {
  const reflected = new Float64Array(BANDS);
  const passed = new Float64Array(BANDS);
  for (let i = 0; i < BANDS; i++) {
    const found = at(i);
    reflected[i] = found.reflected;
    passed[i] = found.passed;
  }
  return { reflected, passed };
}

function luminance(R: ArrayLike<number>): number {
  let Y = 0;
  for (let i = 0; i < BANDS; i++) Y += XYZ_WEIGHTS.Y[i]! * R[i]!;
  return Y;
}
