import type { Lab } from "../colour/cielab.ts";
import { type Layer, layerFromReadings, layerOfScattering } from "./kubelka-munk.ts";
import { BANDS, type Spectrum, XYZ_WEIGHTS } from "./observer.ts";
import { spectrumOf } from "./spectrum.ts";

/** What is known of an ink. One that discharges takes the dye of bare garment before it lies on it. */
export type InkFilm = { readonly discharges?: true } & (
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
    }
);

/** The colour of a garment, and the one that a discharge leaves of it; without it, it keeps its dye. */
export interface FabricColour extends Lab {
  readonly discharged?: Lab | undefined;
}

/** What a draw-down is made on: the colours of its white and its black half. */
export interface Card {
  readonly white: Lab;
  readonly black: Lab;
}

/** The solid film of an ink, band by band. */
export interface Film {
  /** Reflectance over black. */
  readonly reflected: Spectrum;
  /** Transmittance squared. */
  readonly transmittanceSquared: Spectrum;
  /** Whether it takes the dye of bare garment. */
  readonly discharges?: true;
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

/** The film of an ink, in 36 bands. */
export function filmOf(ink: InkFilm): Film {
  const made = "colour" in ink ? fromOpacity(ink.colour, ink.opacity) : fromReadings(ink);
  return ink.discharges ? { ...made, discharges: true } : made;
}

/** Over a substrate, written to `out`, which may be the substrate. */
export function printOver(
  { reflected, transmittanceSquared }: Film,
  substrate: Spectrum,
  out: Spectrum,
): void {
  for (let i = 0; i < BANDS; i++) {
    const G = substrate[i]!;
    const r = reflected[i]!;
    out[i] = r + (transmittanceSquared[i]! * G) / (1 - r * G);
  }
}

/** A garment's reflectance. */
export function substrateOf(colour: Lab): Spectrum {
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

/** Scattering is looked for between these: beyond them a film is clear, or hides all. */
const SCATTERING = [Math.log(1e-6), Math.log(1e4)] as const;
/** Contrast ratios as near as this are the same; far fewer steps are needed. */
const NEAR_ENOUGH = 1e-9;
const MOST_STEPS = 60;

/**
 * One contrast ratio says nothing of single bands: the film scatters alike in all of them, and absorbs what its
 * colour asks for. More scattering always raises the ratio, so a secant finds it, and halving where that would leave
 * what is known to hold it.
 */
function fromOpacity(colour: Lab, opacity: number): Film {
  const light = spectrumOf(colour);
  if (opacity <= 0) return film((i) => ({ reflected: 0, transmittanceSquared: light[i]! }));
  if (opacity >= 1) return film((i) => ({ reflected: light[i]!, transmittanceSquared: 0 }));
  const made = film(() => ({ reflected: 0, transmittanceSquared: 0 }));
  const Y = luminance(light);
  let [low, high]: readonly [number, number] = SCATTERING;
  let at = Math.min(high, Math.max(low, Math.log(greyScattering(Y, opacity))));
  let before: { readonly at: number; readonly error: number } | undefined;
  for (let step = 0; step < MOST_STEPS; step++) {
    const S = Math.exp(at);
    for (let i = 0; i < BANDS; i++) write(made, i, layerOfScattering(S, light[i]!));
    const error = luminance(made.reflected) / Y - opacity;
    if (Math.abs(error) < NEAR_ENOUGH) break;
    if (error < 0) low = at;
    else high = at;
    // A secant, at first along the slope of a film that is nearly clear, whose ratio grows as its scattering.
    const slope = before ? (error - before.error) / (at - before.at) : opacity + error;
    before = { at, error };
    const next = at - error / slope;
    at = next > low && next < high ? next : (low + high) / 2;
  }
  return made;
}

/** The scattering of a grey film that reflects R over white, and a share `ratio` of it over black (Kubelka 1948). */
function greyScattering(R: number, ratio: number): number {
  const dark = ratio * R;
  const a = (R + (dark - R + 1) / dark) / 2;
  const b = Math.sqrt(Math.max(1e-12, a * a - 1));
  return Math.atanh(Math.min(1 - 1e-12, (b * dark) / (1 - a * dark))) / b;
}

function film(at: (band: number) => Layer): Film {
  const reflected = new Float64Array(BANDS);
  const transmittanceSquared = new Float64Array(BANDS);
  const made = { reflected, transmittanceSquared };
  for (let i = 0; i < BANDS; i++) write(made, i, at(i));
  return made;
}

function write({ reflected, transmittanceSquared }: Film, band: number, layer: Layer): void {
  reflected[band] = layer.reflected;
  transmittanceSquared[band] = layer.transmittanceSquared;
}

function luminance(R: ArrayLike<number>): number {
  let Y = 0;
  for (let i = 0; i < BANDS; i++) Y += XYZ_WEIGHTS.Y[i]! * R[i]!;
  return Y;
}
