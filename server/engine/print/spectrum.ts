import { cieFInverse, type Lab } from "../colour/cielab.ts";
import { BANDS, labFromXyz, type Spectrum, xyzFromSpectrum } from "./observer.ts";

/** Steps of the search, and the ΔE*ab that ends it. */
const MOST_STEPS = 60;
const NEAR_ENOUGH = 1e-4;
/** Coefficients beyond this make a step no steeper that any pigment could follow. */
const LARGEST = 400;

/** Place of each band from −1 to 1: a polynomial in it stays well conditioned. */
const PLACE = Float64Array.from({ length: BANDS }, (_, i) => (2 * i) / (BANDS - 1) - 1);

/**
 * A smooth reflectance that has this colour under D50: `under` × S(c₀ + c₁λ + c₂λ²), S(x) = ½ + x / 2√(1 + x²), after
 * Jakob & Hanika, Computer Graphics Forum 38(2), 2019. Between 0 and `under` in every band whatever the colour, so it
 * can stand for an ink or a garment. Found by damped Gauss–Newton steps in CIELAB; a colour that no such surface has
 * (a fluorescent one) gets the nearest that the search meets.
 */
export function spectrumOf(colour: Lab, under?: Spectrum): Spectrum {
  let c: Coefficients = [startOf(colour, under), 0, 0];
  let out = spectrum(c, under);
  let error = errorOf(out, colour);
  let damping = 1e-3;
  for (let step = 0; step < MOST_STEPS && length(error) > NEAR_ENOUGH; step++) {
    const slopes = ([0, 1, 2] as const).map((k) => {
      const h = 1e-4 * Math.max(1, Math.abs(c[k]));
      const moved: Coefficients = [...c];
      moved[k] += h;
      const there = errorOf(spectrum(moved, under), colour);
      return there.map((v, i) => (v - error[i]!) / h) as Vector;
    }) as [Vector, Vector, Vector];
    const before = length(error);
    for (let tries = 0; tries < 12; tries++) {
      const d = dampedStep(slopes, error, damping);
      const next = c.map((v, k) => Math.min(LARGEST, Math.max(-LARGEST, v - d[k]!))) as Coefficients;
      const candidate = spectrum(next, under);
      const candidateError = errorOf(candidate, colour);
      if (length(candidateError) < before) {
        c = next;
        out = candidate;
        error = candidateError;
        damping = Math.max(1e-9, damping / 8);
        break;
      }
      damping *= 6;
    }
    if (length(error) >= before) break;
  }
  return out;
}

type Coefficients = [number, number, number];
type Vector = [number, number, number];

function spectrum([c0, c1, c2]: Coefficients, under: Spectrum | undefined): Spectrum {
  const out = new Float64Array(BANDS);
  for (let i = 0; i < BANDS; i++) {
    const x = c0 + PLACE[i]! * (c1 + PLACE[i]! * c2);
    out[i] = (under ? under[i]! : 1) * (0.5 + x / (2 * Math.sqrt(1 + x * x)));
  }
  return out;
}

/** The flat spectrum of the colour's lightness. */
function startOf({ L }: Lab, under: Spectrum | undefined): number {
  const Y = cieFInverse((L + 16) / 116) / (under ? xyzFromSpectrum(under).Y : 1);
  const s = 2 * Math.min(0.998, Math.max(0.002, Y)) - 1;
  return s / Math.sqrt(1 - s * s);
}

function errorOf(R: Spectrum, colour: Lab): Vector {
  const { L, a, b } = labFromXyz(xyzFromSpectrum(R));
  return [L - colour.L, a - colour.a, b - colour.b];
}

/** Solves (JᵀJ + damping · diag) d = Jᵀe for three unknowns; `slopes[k]` is the k-th column of J. */
function dampedStep(slopes: readonly [Vector, Vector, Vector], error: Vector, damping: number): Vector {
  const m = slopes.map((row, i) =>
    slopes.map((column, j) => dot(row, column) * (i === j ? 1 + damping : 1) + (i === j ? 1e-12 : 0)),
  );
  const v = slopes.map((column) => dot(column, error));
  return solve3(m, v);
}

/** Cramer's rule. */
function solve3(m: readonly number[][], v: readonly number[]): Vector {
  const [p, q, r] = m as [number[], number[], number[]];
  const det = (a: readonly number[], b: readonly number[], c: readonly number[]) =>
    a[0]! * (b[1]! * c[2]! - b[2]! * c[1]!) -
    a[1]! * (b[0]! * c[2]! - b[2]! * c[0]!) +
    a[2]! * (b[0]! * c[1]! - b[1]! * c[0]!);
  const whole = det(p, q, r);
  if (whole === 0) return [0, 0, 0];
  const column = (k: number) => [p, q, r].map((row, i) => row.map((x, j) => (j === k ? v[i]! : x)));
  return [0, 1, 2].map((k) => {
    const [a, b, c] = column(k) as [number[], number[], number[]];
    return det(a, b, c) / whole;
  }) as Vector;
}

function dot(a: Vector, b: Vector): number {
  return a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
}

function length(v: Vector): number {
  return Math.sqrt(dot(v, v));
}
