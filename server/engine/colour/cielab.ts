import { linearFromSrgb } from "./srgb.ts";

/** CIELAB under D50 (2°): L* 0–100, a* and b* unbounded. */
export interface Lab {
  readonly L: number;
  readonly a: number;
  readonly b: number;
}

/** Linear sRGB light, 0–1 inside the sRGB gamut. */
export interface LinearRgb {
  readonly r: number;
  readonly g: number;
  readonly b: number;
}

/** D50 white from its chromaticity 0.3457, 0.3585 (CIE 15; CSS Color 4 takes the same figures). */
export const WHITE_D50 = { X: 0.3457 / 0.3585, Y: 1, Z: (1 - 0.3457 - 0.3585) / 0.3585 } as const;

/** Linear sRGB (D65) to XYZ: IEC 61966-2-1 primaries and white, as the exact fractions of CSS Color 4. */
const XYZ_D65_OF_RGB = [
  [506752 / 1228815, 87881 / 245763, 12673 / 70218],
  [87098 / 409605, 175762 / 245763, 12673 / 175545],
  [7918 / 409605, 87881 / 737289, 1001167 / 1053270],
] as const;

/** The Bradford matrix (ICC.1, annex E). */
export const BRADFORD = [
  [0.8951, 0.2664, -0.1614],
  [-0.7502, 1.7135, 0.0367],
  [0.0389, -0.0685, 1.0296],
] as const;

type Matrix = readonly (readonly number[])[];

/** Linear sRGB to XYZ under D50, by Bradford adaptation: rows X, Y, Z. */
export const XYZ_OF_RGB: Matrix = multiply(adaptation(), XYZ_D65_OF_RGB);
/** XYZ under D50 to linear sRGB: the inverse of `XYZ_OF_RGB`. */
export const RGB_OF_XYZ: Matrix = invert(XYZ_OF_RGB);

/** ε and κ of CIE 15. */
export const EPSILON = 216 / 24389;
/** CIE 15: κ = (29/3)³. */
export const KAPPA = 24389 / 27;

/** CIELAB (D50) of linear sRGB, 0–1; values outside are allowed. */
export function labFromLinear({ r, g, b }: LinearRgb): Lab {
  const [X, Y, Z] = apply(XYZ_OF_RGB, r, g, b);
  const fx = cieF(X / WHITE_D50.X);
  const fy = cieF(Y / WHITE_D50.Y);
  const fz = cieF(Z / WHITE_D50.Z);
  return { L: 116 * fy - 16, a: 500 * (fx - fy), b: 200 * (fy - fz) };
}

/** Linear sRGB of CIELAB (D50), not clipped: outside 0–1 where sRGB does not hold the colour. */
export function linearFromLab({ L, a, b }: Lab): LinearRgb {
  const fy = (L + 16) / 116;
  const [r, g, blue] = apply(
    RGB_OF_XYZ,
    WHITE_D50.X * cieFInverse(fy + a / 500),
    WHITE_D50.Y * cieFInverse(fy),
    WHITE_D50.Z * cieFInverse(fy - b / 200),
  );
  return { r, g, b: blue };
}

/** CIELAB of an 8-bit sRGB colour. */
export function labFromBytes(r: number, g: number, b: number): Lab {
  return labFromLinear({
    r: linearFromSrgb(r / 255),
    g: linearFromSrgb(g / 255),
    b: linearFromSrgb(b / 255),
  });
}

/** C*ab. */
export function chromaOf(a: number, b: number): number {
  return Math.sqrt(a * a + b * b);
}

/** hab in degrees, 0 up to 360. */
export function hueOf(a: number, b: number): number {
  const degrees = Math.atan2(b, a) * (180 / Math.PI);
  return degrees < 0 ? degrees + 360 : degrees;
}

/** f(t) of CIE 15 (CIELAB); t is relative to white. */
export function cieF(t: number): number {
  return t > EPSILON ? Math.cbrt(t) : (KAPPA * t + 16) / 116;
}

/** t of `cieF`. */
export function cieFInverse(f: number): number {
  const cube = f * f * f;
  return cube > EPSILON ? cube : (116 * f - 16) / KAPPA;
}

function adaptation(): Matrix {
  const [X65, Y65, Z65] = apply(XYZ_D65_OF_RGB, 1, 1, 1);
  const [r65, g65, b65] = apply(BRADFORD, X65, Y65, Z65);
  const [r50, g50, b50] = apply(BRADFORD, WHITE_D50.X, WHITE_D50.Y, WHITE_D50.Z);
  const scale = [
    [r50 / r65, 0, 0],
    [0, g50 / g65, 0],
    [0, 0, b50 / b65],
  ];
  return multiply(invert(BRADFORD), multiply(scale, BRADFORD));
}

function apply(m: Matrix, x: number, y: number, z: number): [number, number, number] {
  const [p, q, r] = m as [readonly number[], readonly number[], readonly number[]];
  return [
    p[0]! * x + p[1]! * y + p[2]! * z,
    q[0]! * x + q[1]! * y + q[2]! * z,
    r[0]! * x + r[1]! * y + r[2]! * z,
  ];
}

/** Product of two matrices, row by column. */
export function multiply(left: Matrix, right: Matrix): number[][] {
  return left.map((row) => [0, 1, 2].map((j) => row.reduce((sum, v, k) => sum + v * right[k]![j]!, 0)));
}

/** Inverse of a 3 × 3 matrix. */
export function invert(m: Matrix): number[][] {
  const at = (i: number, j: number) => m[i % 3]![j % 3]!;
  const cofactor = (i: number, j: number) =>
    at(i + 1, j + 1) * at(i + 2, j + 2) - at(i + 1, j + 2) * at(i + 2, j + 1);
  const determinant = [0, 1, 2].reduce((sum, j) => sum + at(0, j) * cofactor(0, j), 0);
  return [0, 1, 2].map((i) => [0, 1, 2].map((j) => cofactor(j, i) / determinant));
}
