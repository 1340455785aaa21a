import { cieF, type Lab, WHITE_D50 } from "../colour/cielab.ts";

/** Wavelengths of every spectrum here, in nm: 380 to 730 in steps of 10, as spectrophotometers report them. */
export const FIRST_NM = 380;
/** Width of a band in nanometres. */
export const STEP_NM = 10;
/** Bands of a spectrum, 380 to 730 nm. */
export const BANDS = 36;

/** Reflectance 0–1 in each band. */
export type Spectrum = Float64Array;

/** CIE 1931 2° colour-matching functions (ISO/CIE 11664-1), every 10 nm from 380, rounded to four places. */
const X_BAR = [
  0.0014, 0.0042, 0.0143, 0.0435, 0.1344, 0.2839, 0.3483, 0.3362, 0.2908, 0.1954, 0.0956, 0.032, 0.0049,
  0.0093, 0.0633, 0.1655, 0.2904, 0.4334, 0.5945, 0.7621, 0.9163, 1.0263, 1.0622, 1.0026, 0.8544, 0.6424,
  0.4479, 0.2835, 0.1649, 0.0874, 0.0468, 0.0227, 0.0114, 0.0058, 0.0029, 0.0014,
];
const Y_BAR = [
  0, 0.0001, 0.0004, 0.0012, 0.004, 0.0116, 0.023, 0.038, 0.06, 0.091, 0.139, 0.208, 0.323, 0.503, 0.71,
  0.862, 0.954, 0.995, 0.995, 0.952, 0.87, 0.757, 0.631, 0.503, 0.381, 0.265, 0.175, 0.107, 0.061, 0.032,
  0.017, 0.0082, 0.0041, 0.0021, 0.001, 0.0005,
];
const Z_BAR = [
  0.0065, 0.0201, 0.0679, 0.2074, 0.6456, 1.3856, 1.7471, 1.7721, 1.6692, 1.2876, 0.813, 0.4652, 0.272,
  0.1582, 0.0782, 0.0422, 0.0203, 0.0087, 0.0039, 0.0021, 0.0017, 0.0011, 0.0008, 0.0003, 0.0002, 0, 0, 0, 0,
  0, 0, 0, 0, 0, 0, 0,
];
/** Relative power of illuminant D50 (CIE 15), every 10 nm from 380. */
export const D50 = [
  24.49, 29.87, 49.31, 56.51, 60.03, 57.82, 74.82, 87.25, 90.61, 91.37, 95.11, 91.96, 95.72, 96.61, 97.13,
  102.1, 100.75, 102.32, 100, 97.74, 98.92, 93.5, 97.69, 99.27, 99.04, 95.72, 98.86, 95.67, 98.19, 103, 99.13,
  87.38, 91.6, 92.89, 76.85, 86.51,
];

/** White of the tables as they stand, Y = 1. */
export const TABLE_WHITE: Xyz = {
  X: sumOf(X_BAR) / sumOf(Y_BAR),
  Y: 1,
  Z: sumOf(Z_BAR) / sumOf(Y_BAR),
};

/**
 * What each band adds to X, Y and Z under D50. Each row is scaled so that the perfect diffuser gives the white point
 * of `cielab.ts` to the last digit; as they stand (`TABLE_WHITE`) they are within 0.1 % of it.
 */
export const XYZ_WEIGHTS = {
  X: weights(X_BAR, WHITE_D50.X),
  Y: weights(Y_BAR, WHITE_D50.Y),
  Z: weights(Z_BAR, WHITE_D50.Z),
} as const;

function sumOf(bar: readonly number[]): number {
  return bar.reduce((sum, v, i) => sum + v * D50[i]!, 0);
}

function weights(bar: readonly number[], white: number): Float64Array {
  const products = Float64Array.from(bar, (v, i) => v * D50[i]!);
  const sum = products.reduce((a, b) => a + b, 0);
  return products.map((v) => (v * white) / sum);
}

/** CIE XYZ under D50, Y of white 1. */
export interface Xyz {
  readonly X: number;
  readonly Y: number;
  readonly Z: number;
}

/** XYZ of a reflectance spectrum of `BANDS` numbers, 0–1 (ASTM E308, 2° observer, D50). */
export function xyzFromSpectrum(R: ArrayLike<number>): Xyz {
  let X = 0;
  let Y = 0;
  let Z = 0;
  for (let i = 0; i < BANDS; i++) {
    const r = R[i]!;
    X += XYZ_WEIGHTS.X[i]! * r;
    Y += XYZ_WEIGHTS.Y[i]! * r;
    Z += XYZ_WEIGHTS.Z[i]! * r;
  }
  return { X, Y, Z };
}

/** CIELAB D50 of XYZ under D50, Y of the perfect diffuser = 1. */
export function labFromXyz({ X, Y, Z }: Xyz): Lab {
  const fx = cieF(X / WHITE_D50.X);
  const fy = cieF(Y);
  const fz = cieF(Z / WHITE_D50.Z);
  return { L: 116 * fy - 16, a: 500 * (fx - fy), b: 200 * (fy - fz) };
}

/** CIELAB (D50) of a reflectance spectrum. */
export function labFromSpectrum(R: ArrayLike<number>): Lab {
  return labFromXyz(xyzFromSpectrum(R));
}
