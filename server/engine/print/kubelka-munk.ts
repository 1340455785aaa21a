/**
 * Kubelka–Munk in one band: a homogeneous layer that absorbs and scatters, without the loss at its surface. Kubelka,
 * JOSA 38 (1948) 448 for one layer; JOSA 44 (1954) 330 for layers on one another.
 */

/** What one layer does, whatever lies beneath it: `reflected` over black, and `transmittanceSquared`, its transmittance squared. */
export interface Layer {
  readonly reflected: number;
  readonly transmittanceSquared: number;
}

/** A layer of absorption K and scattering S, both per thickness, and of thickness X; none is negative. */
export function layer(K: number, S: number, X: number): Layer {
  const s = S * X;
  const k = K * X;
  if (s === 0) return { reflected: 0, transmittanceSquared: Math.exp(-2 * k) };
  const a = 1 + k / s;
  const b = Math.sqrt(Math.max(0, a * a - 1));
  const bs = b * s;
  // Beyond this the layer hides all; before it, cosh and sinh are finite.
  if (bs > 300) return { reflected: a - b, transmittanceSquared: 0 };
  // b / sinh(bs) and b · coth(bs), whose limit at b = 0 is 1 / s.
  const perSinh = bs < 1e-6 ? 1 / s : b / Math.sinh(bs);
  const coth = bs < 1e-6 ? 1 / s : b / Math.tanh(bs);
  const reflected = 1 / (a + coth);
  const T = perSinh * reflected;
  return { reflected, transmittanceSquared: T * T };
}

/** Reflectance of a layer on a substrate of reflectance G. */
export function over({ reflected, transmittanceSquared }: Layer, G: number): number {
  return reflected + (transmittanceSquared * G) / (1 - reflected * G);
}

/** Reflectance of a layer too thick for any substrate to show. */
export function thick(K: number, S: number): number {
  const a = 1 + K / S;
  return a - Math.sqrt(a * a - 1);
}

/**
 * The layer that reflects `light` over a substrate of reflectance `white`, and `dark` over `black`. What no layer can do
 * (darker over white than over black, or brighter than what falls on it) is brought to the nearest that one can.
 */
export function layerFromReadings(light: number, dark: number, white = 1, black = 0): Layer {
  // Both readings are R₀ + T²G / (1 − R₀G); eliminating T² leaves R₀ linear.
  const divisor = white - black + white * black * (dark - light);
  const reflected = clamp((white * dark - black * light) / divisor, 0, 1 - 1e-9);
  const transmittanceSquared = ((light - reflected) * (1 - reflected * white)) / white;
  return { reflected, transmittanceSquared: clamp(transmittanceSquared, 0, (1 - reflected) ** 2) };
}

/** Newton's steps, and the share of the root that ends them. */
const MOST_STEPS = 50;
const NEAR_ENOUGH = 1e-13;

/**
 * The layer of scattering S (thickness 1) that reflects R over white, both from 0. With x = bS, Kubelka's formula over
 * white is x · tanh x / (S + √(S² + x²)) = (1 − R) / (1 + R), which Newton's method solves for x, from a bound below.
 */
export function layerOfScattering(S: number, R: number): Layer {
  const q = (1 - R) / (1 + R);
  // White stays white; black is black whatever scatters.
  if (q <= 0) return layer(0, S, 1);
  if (q >= 1) return { reflected: 0, transmittanceSquared: 0 };
  let x = Math.max(Math.atanh(q), (2 * q * S) / (1 - q * q), Math.sqrt(2 * S * q));
  for (let i = 0; i < MOST_STEPS; i++) {
    const hypotenuse = Math.sqrt(S * S + x * x);
    const tanh = Math.tanh(x);
    const above = x * tanh;
    const below = S + hypotenuse;
    const slope = (tanh + x * (1 - tanh * tanh) - (above * x) / (below * hypotenuse)) / below;
    const step = (q - above / below) / slope;
    x += step;
    if (Math.abs(step) <= NEAR_ENOUGH * x) break;
  }
  const both = Math.sqrt(S * S + x * x) + x / Math.tanh(x);
  const T = x / (Math.sinh(x) * both);
  return { reflected: S / both, transmittanceSquared: T * T };
}

function clamp(v: number, low: number, high: number): number {
  return Math.min(high, Math.max(low, v));
}
