import { type Lab, type LinearRgb, labFromLinear, linearFromLab } from "../colour/cielab.ts";
import { linearOfBands, type MixingBands } from "./bands.ts";
import { power, root } from "./halftone.ts";
import { type Film, printOver } from "./ink-film.ts";
import { BANDS, type Spectrum } from "./observer.ts";

/**
 * What a printed tone is told in. Murray–Davies: the area that gives the tint's reflectance if light did not spread
 * (ISO 12647-1's tone value). Spot colour: the tint's distance from the ground ÷ the solid's, in steps of CIELAB (ISO 20654).
 */
export type ToneValue = "murray-davies" | "spot-colour";

/**
 * The tone value of a tint, 0–1 between its bare ground and its solid; beyond them where readings are. NaN where
 * ground and solid are of one colour.
 */
export function toneValueOf(tint: Lab, ground: Lab, solid: Lab, meant: ToneValue): number {
  return meant === "spot-colour" ? spotColour(tint, ground, solid) : murrayDavies(tint, ground, solid);
}

/**
 * Murray–Davies over three linear bands at once, by least squares; with a single band it is the textbook's quotient
 * (Westland & Ripamonti 2004, eq. 9.2).
 */
function murrayDavies(tint: Lab, ground: Lab, solid: Lab): number {
  const [t, p, s] = [tint, ground, solid].map(linearFromLab) as [LinearRgb, LinearRgb, LinearRgb];
  let along = 0;
  let whole = 0;
  for (const band of ["r", "g", "b"] as const) {
    const span = p[band] - s[band];
    along += span * (p[band] - t[band]);
    whole += span * span;
  }
  return along / whole;
}

/**
 * ISO 20654:2017: the root of the summed squares of V's differences, tint to ground ÷ solid to ground, where V of X, Y
 * and Z is 116 f(X/Xn) − 16 and so on. f is CIELAB's, so it comes out of L*, a* and b*.
 */
function spotColour(tint: Lab, ground: Lab, solid: Lab): number {
  const distance = (of: Lab) => {
    const y = of.L - ground.L;
    return Math.hypot(y + (116 / 500) * (of.a - ground.a), y, y - (116 / 200) * (of.b - ground.b));
  };
  return distance(tint) / distance(solid);
}

const STEPS = 256;

/**
 * The printed area of a tone value, both 0–1, on a solid film: what Yule–Nielsen's n, or lightness, makes of an area is
 * taken back. Told on white or on black, whichever the ink stands out from the more, since a table of tones belongs to
 * an ink and not to a garment. `bands` are those of the print, `n` its Yule–Nielsen factor.
 */
export function areaOfToneValue(
  film: Film,
  bands: MixingBands,
  n: number,
  meant: ToneValue,
): (tone: number) => number {
  if (n === 1 && meant === "murray-davies") return (tone) => tone;
  const colour = halftones(film, bands, n);
  const [bare, full] = [labFromLinear(colour(0)), labFromLinear(colour(1))];
  // Rising with the area, so its inverse is read between two steps.
  const tones = Float64Array.from({ length: STEPS + 1 }, (_, i) =>
    toneValueOf(labFromLinear(colour(i / STEPS)), bare, full, meant),
  );
  tones[0] = 0;
  tones[STEPS] = 1;
  return (tone) => {
    let low = 0;
    let high = STEPS;
    while (high - low > 1) {
      const middle = (low + high) >> 1;
      if (tones[middle]! <= tone) low = middle;
      else high = middle;
    }
    const share = (tone - tones[low]!) / (tones[high]! - tones[low]!);
    return Math.min(1, Math.max(0, (low + share) / STEPS));
  };
}

/** Halftones of every area, on the ground, white or black, that the solid film differs from the more. */
function halftones(film: Film, bands: MixingBands, n: number): (area: number) => LinearRgb {
  const on = (reflectance: number) => {
    const ground = new Float64Array(BANDS).fill(reflectance);
    const solid = new Float64Array(BANDS);
    printOver(film, ground, solid);
    const [p, s] = [ground, solid].map((R) => rootsOf(R, bands, n)) as [Float64Array, Float64Array];
    const mixed = (area: number) => p.map((v, i) => power((1 - area) * v + area * s[i]!, n));
    const [bare, full] = [mixed(0), mixed(1)];
    return { mixed, contrast: bare.reduce((sum, v, i) => sum + (v - full[i]!) ** 2, 0) };
  };
  const [white, black] = [on(1), on(0)];
  const { mixed } = white.contrast >= black.contrast ? white : black;
  return (area) => {
    const [x, y, z] = mixed(area) as unknown as [number, number, number];
    return linearOfBands(bands, x, y, z);
  };
}

function rootsOf(R: Spectrum, bands: MixingBands, n: number): Float64Array {
  const out = new Float64Array(3);
  bands.write(R, out, 0);
  return out.map((v) => root(v, n));
}
