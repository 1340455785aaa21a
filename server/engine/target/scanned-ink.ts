import { LINEAR_OF_BYTE } from "../colour/srgb.ts";
import type { Placement, Scan } from "./place-sheet.ts";
import { type Bar, type Box, LINE_WIDTHS, type Sheet, type SheetField } from "./sheet.ts";

/** Linear light of a scan, three channels. */
export type Light = readonly [number, number, number];

/** An ink as it was scanned: the bare garment and its solid on it. */
export interface ScannedInk {
  readonly bare: Light;
  readonly solid: Light;
}

/** Of its own width this much of a line must stand, and of a gap be open, all along. Common practice, no source. */
const STANDS = 0.5;
const OPEN = 0.25;
/** How far plates are looked for, and fields once their plate is found, in mm. */
export const FARTHEST = 1;
const NEAR = 0.3;
/** Least correlation of what is seen with what the sheet has there. */
const ALIKE = 0.5;
/** How much of a bar's length is left out at each end, and of a field's lines seen at a time, in mm. */
const END = 1;
const SECTION = 0.5;

/** A strip across bars: where it begins on the sheet, and the ways along and across the bars for 1 mm of each. */
interface Strip {
  readonly x: number;
  readonly y: number;
  readonly along: readonly [number, number];
  readonly across: readonly [number, number];
  readonly length: number;
  readonly width: number;
}

/** Where a bar lies across a strip, in mm from its beginning. */
interface Crossing {
  readonly middle: number;
  readonly thick: number;
}

/**
 * One plate's ink in a scan. How much of a place is ink is how far its light lies from the garment's to the solid's, so
 * that edges are found to a fraction of a pixel.
 */
export class InkOfScan {
  readonly #scan: Scan;
  readonly #placement: Placement;
  readonly #bars: readonly Bar[];
  readonly #bare: Light;
  /** Inner product with this is the share of ink. */
  readonly #share: Light;
  /** Half a pixel, in mm. */
  readonly #step: number;

  constructor(scan: Scan, placement: Placement, sheet: Sheet, plate: number, { bare, solid }: ScannedInk) {
    this.#scan = scan;
    this.#placement = placement;
    this.#bars = sheet.bars.filter((bar) => bar.plate === plate);
    this.#bare = bare;
    const way = solid.map((v, k) => v - bare[k]!);
    const length = way.reduce((sum, v) => sum + v * v, 0);
    this.#share = way.map((v) => v / length) as unknown as Light;
    this.#step = 0.5 / Math.hypot(placement[0], placement[3]);
  }

  /** How far a vernier's lines lie from their place along an axis, in mm; undefined where they are not found. */
  shift(box: Box, axis: "x" | "y"): number | undefined {
    const bars = this.#within(box);
    const upright = axis === "x";
    const [side, end] = upright ? (["y", "height"] as const) : (["x", "width"] as const);
    const [size, from] = upright ? (["width", "x"] as const) : (["height", "y"] as const);
    // The ends beside the other plate's lines are alike; the first millimetre there may be printed upon by them.
    const low = Math.max(...bars.map((bar) => bar[side]));
    const high = Math.min(...bars.map((bar) => bar[side] + bar[end]));
    const before = bars[0]![from] - FARTHEST - 0.5;
    const width = Math.max(...bars.map((bar) => bar[from] + bar[size])) + FARTHEST + 0.5 - before;
    const [along, across] = upright ? ([0, 1] as const) : ([1, 0] as const);
    const start = { [side]: low + END, [from]: before } as unknown as { x: number; y: number };
    const strip: Strip = {
      ...start,
      along: [along, across],
      across: [across, along],
      length: high - low - 2 * END,
      width,
    };
    const profile = sum(this.#sections(strip, high - low - 2 * END));
    const crossings = bars.map((bar) => ({ middle: bar[from] - before + bar[size] / 2, thick: bar[size] }));
    const pitch = crossings[1]!.middle - crossings[0]!.middle;
    // What lies a line further off than that would be alike at its neighbours' places, and is found where it is instead.
    const coarse = this.#match(profile, crossings, FARTHEST + pitch);
    if (coarse === undefined || Math.abs(coarse) > FARTHEST) return undefined;
    let shift = coarse;
    const half = 0.45 * pitch;
    for (let round = 0; round < 4; round++) {
      const off = crossings.map(({ middle }) => this.#centre(profile, middle + shift, half) - middle);
      shift = mean(off);
    }
    return shift;
  }

  /** The narrowest line or gap of a field that stands with all wider ones, in mm; undefined where none does. */
  narrowest({ sample, box }: SheetField, at: { readonly x: number; readonly y: number }): number | undefined {
    const gaps = sample.kind === "gap";
    const bars = this.#within(box);
    const { lean = 0, height, width } = bars[0]!;
    const across = sample.kind !== "register" && sample.way === "across";
    const long = across ? width : height;
    const origin = across
      ? { x: bars[0]!.x + END + at.x, y: bars[0]!.y - 1 + at.y }
      : { x: bars[0]!.x - 1 - (lean * END) / long + at.x, y: bars[0]!.y + END + at.y };
    const [last, start] = across
      ? [bars.at(-1)!.y + bars.at(-1)!.height, bars[0]!.y - 1]
      : [bars.at(-1)!.x + bars.at(-1)!.width, bars[0]!.x - 1];
    const strip: Strip = {
      ...origin,
      along: across ? [1, 0] : [-lean / long, 1],
      across: across ? [0, 1] : [1, 0],
      length: long - 2 * END,
      width: last + 1 - start,
    };
    const sections = this.#sections(strip, SECTION).map((one) => (gaps ? one.map((v) => 1 - v) : one));
    const crossings = bars.map((bar) =>
      across
        ? { middle: bar.y - start + bar.height / 2, thick: bar.height }
        : { middle: bar.x - start + bar.width / 2, thick: bar.width },
    );
    const shift = this.#match(sum(sections), crossings, NEAR, 1 - 2 * NEAR);
    if (shift === undefined) return undefined;
    const least = gaps ? OPEN : STANDS;
    let narrowest: number | undefined;
    for (let i = crossings.length - 1; i >= 0; i--) {
      const { middle, thick } = crossings[i]!;
      const room = Math.min(
        ...[crossings[i - 1], crossings[i + 1]].map((next) =>
          next ? Math.abs(next.middle - middle) - (next.thick + thick) / 2 : Number.POSITIVE_INFINITY,
        ),
      );
      const half = thick / 2 + room / 2;
      if (sections.some((one) => this.#stands(one, middle + shift, half) < least * thick)) break;
      narrowest = LINE_WIDTHS[i]!;
    }
    return narrowest;
  }

  #within(box: Box): Bar[] {
    return this.#bars.filter(
      ({ x, y, width, height }) =>
        x + width > box.x && x < box.x + box.width && y + height > box.y && y < box.y + box.height,
    );
  }

  /** Share of ink across a strip at steps of half a pixel, for each piece of `length` mm along it. */
  #sections(strip: Strip, length: number): Float64Array[] {
    const { x, y, along, across } = strip;
    const pieces = Math.max(1, Math.round(strip.length / length));
    const steps = Math.floor(strip.width / this.#step);
    const lines = Math.max(2, Math.round(strip.length / pieces / this.#step));
    return Array.from({ length: pieces }, (_, piece) => {
      const out = new Float64Array(steps);
      for (let line = 0; line < lines; line++) {
        const down = (strip.length * (piece + (line + 0.5) / lines)) / pieces;
        for (let i = 0; i < steps; i++) {
          const to = (i + 0.5) * this.#step;
          out[i]! += this.#at(x + along[0] * down + across[0] * to, y + along[1] * down + across[1] * to);
        }
      }
      return out.map((v) => v / lines);
    });
  }

  /** Share of ink at a point of the sheet, between the four nearest pixels. */
  #at(X: number, Y: number): number {
    const { data, width, height } = this.#scan;
    const [a, b, c, d, e, f] = this.#placement;
    const px = Math.min(width - 1.001, Math.max(0, a * X + b * Y + c - 0.5));
    const py = Math.min(height - 1.001, Math.max(0, d * X + e * Y + f - 0.5));
    const [left, top] = [Math.floor(px), Math.floor(py)];
    const [u, v] = [px - left, py - top];
    const at = 4 * (top * width + left);
    const below = at + 4 * width;
    let share = 0;
    for (let k = 0; k < 3; k++) {
      const upper = (1 - u) * LINEAR_OF_BYTE[data[at + k]!]! + u * LINEAR_OF_BYTE[data[at + 4 + k]!]!;
      const lower = (1 - u) * LINEAR_OF_BYTE[data[below + k]!]! + u * LINEAR_OF_BYTE[data[below + 4 + k]!]!;
      share += this.#share[k]! * ((1 - v) * upper + v * lower - this.#bare[k]!);
    }
    return share;
  }

  /** The shift up to `most` mm at which bars fit the profile best; its first and last `margin` mm are not looked at. */
  #match(
    profile: Float64Array,
    bars: readonly Crossing[],
    most: number,
    margin = FARTHEST / 2,
  ): number | undefined {
    const step = this.#step;
    const [from, to] = [Math.ceil(margin / step), Math.floor(profile.length - margin / step)];
    const seen = profile.subarray(from, to);
    let best = { like: ALIKE, shift: undefined as number | undefined };
    for (let s = -Math.round(most / step); s <= Math.round(most / step); s++) {
      const wanted = new Float64Array(seen.length);
      for (const { middle, thick } of bars)
        for (
          let i = Math.round((middle - thick / 2) / step) + s;
          i < Math.round((middle + thick / 2) / step) + s;
          i++
        )
          if (i >= from && i < to) wanted[i - from] = 1;
      const like = correlation(seen, wanted);
      if (like > best.like) best = { like, shift: s * step };
    }
    return best.shift;
  }

  /** Middle of the ink within `half` mm of a place, in mm. */
  #centre(profile: Float64Array, place: number, half: number): number {
    const ground = this.#ground(profile, place, half);
    let [weight, moment] = [0, 0];
    this.#each(profile, place, half, (share, at) => {
      weight += share - ground;
      moment += (share - ground) * at;
    });
    return weight > 0 ? moment / weight : place;
  }

  /** Width of ink within `half` mm of a place, in mm. */
  #stands(profile: Float64Array, place: number, half: number): number {
    const ground = this.#ground(profile, place, half);
    let width = 0;
    this.#each(profile, place, half, (share) => {
      width += (share - ground) * this.#step;
    });
    return width;
  }

  /** What lies between bars there: the mean of both rims, a fifth of the window together. */
  #ground(profile: Float64Array, place: number, half: number): number {
    let [total, count] = [0, 0];
    this.#each(profile, place, half, (share, at) => {
      if (Math.abs(at - place) < 0.8 * half) return;
      total += share;
      count++;
    });
    return count === 0 ? 0 : total / count;
  }

  #each(
    profile: Float64Array,
    place: number,
    half: number,
    visit: (share: number, at: number) => void,
  ): void {
    const step = this.#step;
    const from = Math.max(0, Math.ceil((place - half) / step - 0.5));
    const to = Math.min(profile.length - 1, Math.floor((place + half) / step - 0.5));
    for (let i = from; i <= to; i++) visit(profile[i]!, (i + 0.5) * step);
  }
}

function sum(profiles: readonly Float64Array[]): Float64Array {
  return profiles[0]!.map((_, i) => profiles.reduce((total, one) => total + one[i]!, 0) / profiles.length);
}

function correlation(p: Float64Array, q: Float64Array): number {
  const [mp, mq] = [mean(p), mean(q)];
  let [pq, pp, qq] = [0, 0, 0];
  for (let i = 0; i < p.length; i++) {
    pq += (p[i]! - mp) * (q[i]! - mq);
    pp += (p[i]! - mp) ** 2;
    qq += (q[i]! - mq) ** 2;
  }
  return pq / Math.sqrt(pp * qq || 1);
}

/** Of nothing: 0. */
function mean(values: ArrayLike<number>): number {
  let total = 0;
  for (let i = 0; i < values.length; i++) total += values[i]!;
  return values.length === 0 ? 0 : total / values.length;
}
