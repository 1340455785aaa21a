import type { Curve } from "../adjust/curve.ts";
import { curveFunction } from "../adjust/curve.ts";
import { deltaE00 } from "../colour/ciede2000.ts";
import type { Lab } from "../colour/cielab.ts";
import { labFromLinear, linearFromLab } from "../colour/cielab.ts";
import { limitTone } from "../press/smallest-dot.ts";
import { bandsOfLinear, linearOfBands, mixingBands } from "./bands.ts";
import { power, root } from "./halftone.ts";
import { type ToneValue, toneValueOf } from "./tone-value.ts";

/**
 * Dot gain (tone value increase): printed tone of each film tone, both 0–1, from 0 to 0 up to 1 to 1, rising. Between
 * the measured tones runs a monotone cubic.
 */
export type Gain = Curve;

/** How a station's tones grow in print. */
export interface DotGain {
  /** Tone value of each film tone: what films are compensated with, so that plates' tones are printed tone values. */
  readonly tones: Gain;
  /** What `tones` are told in; Murray–Davies where it is not said. */
  readonly toneValue?: ToneValue | undefined;
  /** Printed area of each film tone under the print's n, where readings gave it; else it follows from `tones`. */
  readonly areas?: Gain | undefined;
}

/** Printed tone of a film tone. */
export function printedTone(gain: Gain): (film: number) => number {
  return curveFunction(gain);
}

/** The film tone that prints as a tone: what films are compensated with. Halving finds it, for the curve rises. */
export function filmTone(gain: Gain): (printed: number) => number {
  const forward = curveFunction(gain);
  return (printed) => {
    if (printed <= 0) return 0;
    if (printed >= 1) return 1;
    let low = 0;
    let high = 1;
    for (let i = 0; i < 40; i++) {
      const middle = (low + high) / 2;
      if (forward(middle) < printed) low = middle;
      else high = middle;
    }
    return (low + high) / 2;
  };
}

/**
 * Film tone 0–1 of every plate tone on films that are compensated: what prints as the plate's, as far as the smallest
 * dot that the screen holds lets them. 256 numbers, from 0 up to 1.
 */
export function compensatedTones(gain: Gain, smallestDot: number): Float64Array {
  const backward = filmTone(gain);
  return Float64Array.from({ length: 256 }, (_, byte) => limitTone(backward(byte / 255), smallestDot));
}

/**
 * Printed area of every plate tone: 256 numbers. Films that are not compensated show the plate's tone as it is.
 * `areaOf` gives the area of a printed tone value, where that is not the area itself (`areaOfToneValue`).
 */
export function areaTable(
  gain: DotGain | undefined,
  compensated: boolean,
  smallestDot: number,
  areaOf: (tone: number) => number = (tone) => tone,
): Float32Array {
  const plain = Float64Array.from({ length: 256 }, (_, byte) => byte / 255);
  if (!gain) return Float32Array.from(plain);
  const film = compensated ? compensatedTones(gain.tones, smallestDot) : plain;
  const printed = printedTone(gain.areas ?? gain.tones);
  return Float32Array.from(film, gain.areas ? printed : (tone) => areaOf(printed(tone)));
}

/** One step of a printed wedge: its tone on the film, 0–1, and its colour. */
export interface WedgeStep {
  readonly tone: number;
  readonly colour: Lab;
}

/** Tone values of a measured wedge that has both ends. Throws where both ends are of one colour. */
export function gainFromWedge(steps: readonly WedgeStep[], meant: ToneValue = "murray-davies"): Gain {
  return between(steps, (ground, solid) => (step) => toneValueOf(step, ground, solid, meant));
}

/**
 * Printed areas of a measured wedge under Yule–Nielsen's n: those whose print is nearest to each reading in ΔE00. At n = 1
 * they are Murray–Davies' tone values. Throws where both ends are of one colour, from which no area follows.
 */
export function areasFromWedge(steps: readonly WedgeStep[], n: number): Gain {
  if (n === 1) return gainFromWedge(steps);
  return between(steps, (ground, solid) => {
    const off = offAt(ground, solid, n);
    return (read) => nearest((area) => off(area, read));
  });
}

/** How far, in mean ΔE00, a wedge's tints lie from the nearest that its ends mix to under n. */
export function wedgeResidual(steps: readonly WedgeStep[], n: number): number {
  const sorted = [...steps].sort((a, b) => a.tone - b.tone);
  const off = offAt(sorted[0]!.colour, sorted.at(-1)!.colour, n);
  const inner = sorted.slice(1, -1).map(({ colour }) =>
    off(
      nearest((area) => off(area, colour)),
      colour,
    ),
  );
  return inner.reduce((sum, v) => sum + v, 0) / Math.max(1, inner.length);
}

/** ΔE00 of a halftone of an area, between two colours under n, from a reading. */
function offAt(ground: Lab, solid: Lab, n: number): (area: number, read: Lab) => number {
  const bands = mixingBands(n);
  const toBands = bandsOfLinear(bands);
  const [p, s] = [ground, solid].map((colour) => toBands(linearFromLab(colour)).map((v) => root(v, n)));
  return (area, read) => {
    const [x, y, z] = p!.map((v, i) => power((1 - area) * v + area * s![i]!, n)) as [number, number, number];
    const { L, a, b } = labFromLinear(linearOfBands(bands, x, y, z));
    return deltaE00(L, a, b, read.L, read.a, read.b);
  };
}

/** Parts of 0–1 among which the least is looked for first, and halvings of their golden section after that. */
const PARTS = 16;
const SECTIONS = 36;
const GOLDEN = (Math.sqrt(5) - 1) / 2;

/** Where on 0–1 a function is least that falls and then rises. */
function nearest(off: (at: number) => number): number {
  let best = 0;
  for (let i = 1; i <= PARTS; i++) if (off(i / PARTS) < off(best / PARTS)) best = i;
  let low = Math.max(0, best - 1) / PARTS;
  let high = Math.min(PARTS, best + 1) / PARTS;
  for (let i = 0; i < SECTIONS; i++) {
    const width = GOLDEN * (high - low);
    if (off(high - width) < off(low + width)) high = low + width;
    else low = high - width;
  }
  return (low + high) / 2;
}

/** Both ends as they are, and what `printed` makes of the steps between. */
function between(
  steps: readonly WedgeStep[],
  printed: (ground: Lab, solid: Lab) => (colour: Lab) => number,
): Gain {
  const sorted = [...steps].sort((a, b) => a.tone - b.tone);
  const [ground, solid] = [sorted[0]!.colour, sorted.at(-1)!.colour];
  if (ground.L === solid.L && ground.a === solid.a && ground.b === solid.b)
    throw new Error("the wedge's solid has the colour of what is bare");
  const of = printed(ground, solid);
  const inner = sorted.slice(1, -1).map(({ tone, colour }) => {
    return [tone, Math.min(1, Math.max(0, of(colour)))] as const;
  });
  return [[0, 0], ...inner, [1, 1]];
}
