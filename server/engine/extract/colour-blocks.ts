import type { Extraction } from "../plan.ts";
import { type LabColumns, SAME_COLOUR_DELTA_E } from "./lab-columns.ts";
import { hueMembership, isInHueRange, LARGEST_SL, LEAST_HUE_CHROMA, smoothFalloff } from "./ranges.ts";

/** Colours of a block; no more than are looked at together (`COLOURS_AT_ONCE`). */
export const BLOCK = 256;

/** Ends of each column of a block, the least and the greatest, beside one another. */
const ENDS = 8;
const COLUMNS = { lightness: 0, chroma: 2, hue: 4, opacity: 6 } as const;

/**
 * Between which ends the colours of each block of a table lie, so that a block that lies outside of an extraction as a
 * whole is not looked at colour by colour. Worth it where colours that are alike stand together (`mortonOrder`).
 */
export class ColourBlocks {
  readonly #ends: Float64Array;

  constructor(colours: LabColumns) {
    const { length } = colours.L;
    this.#ends = new Float64Array(Math.ceil(length / BLOCK) * ENDS);
    for (const [by, column] of [
      ["lightness", colours.L],
      ["chroma", colours.chroma],
      ["hue", colours.hue],
      ["opacity", colours.opacity],
    ] as const)
      for (let first = 0, at = COLUMNS[by]; first < length; first += BLOCK, at += ENDS) {
        let least = column[first]!;
        let greatest = least;
        const end = Math.min(length, first + BLOCK);
        for (let i = first + 1; i < end; i++) {
          const v = column[i]!;
          if (v < least) least = v;
          else if (v > greatest) greatest = v;
        }
        this.#ends[at] = least;
        this.#ends[at + 1] = greatest;
      }
  }

  get bytes(): number {
    return this.#ends.byteLength;
  }

  /** No colour of the block belongs to the extraction by more. */
  most(block: number, extraction: Extraction): number {
    return bound(extraction, true, this.#ends, block * ENDS);
  }
}

/** The upper bound where `upper`, else the lower one. */
function bound(e: Extraction, upper: boolean, ends: Float64Array, at: number): number {
  switch (e.by) {
    case "artwork":
      return 1;
    case "all": {
      let least = 1;
      for (const part of e.of) least = Math.min(least, bound(part, upper, ends, at));
      return least;
    }
    case "any": {
      let greatest = 0;
      for (const part of e.of) greatest = Math.max(greatest, bound(part, upper, ends, at));
      return greatest;
    }
    case "except":
      return 1 - bound(e.of, !upper, ends, at);
    case "near":
      return upper ? mostNear(e, ends, at) : 0;
    case "hue":
      return (upper ? mostInHues : leastInHues)(e, ends, at);
    default:
      return (upper ? mostInRange : leastInRange)(e, ends, at + COLUMNS[e.by]);
  }
}

type Near = Extract<Extraction, { by: "near" }>;
type Range = Extract<Extraction, { from: number }>;

function mostNear({ colour, within, fade }: Near, ends: Float64Array, at: number): number {
  const gap = beyond(ends, at + COLUMNS.lightness, colour.L, colour.L);
  return gap > LARGEST_SL * (Math.max(within, SAME_COLOUR_DELTA_E) + fade) ? 0 : 1;
}

function mostInHues({ from, to, fade }: Range, ends: Float64Array, at: number): number {
  const [first, last] = [ends[at + COLUMNS.hue]!, ends[at + COLUMNS.hue + 1]!];
  const vivid = Math.min(1, ends[at + COLUMNS.chroma + 1]! / LEAST_HUE_CHROMA);
  // The range begins among the block's hues, or one of them lies in it; else the nearest is at an end.
  if (from >= first && from <= last) return vivid;
  return vivid * Math.max(hueMembership(first, from, to, fade), hueMembership(last, from, to, fade));
}

function leastInHues({ from, to }: Range, ends: Float64Array, at: number): number {
  const [first, last] = [ends[at + COLUMNS.hue]!, ends[at + COLUMNS.hue + 1]!];
  // Of a range past 0 both ends of the block must lie in the same part.
  const together = from <= to || first > to === last > to;
  const inside = together && isInHueRange(first, from, to) && isInHueRange(last, from, to);
  return inside ? Math.min(1, ends[at + COLUMNS.chroma]! / LEAST_HUE_CHROMA) : 0;
}

function mostInRange({ from, to, fade }: Range, ends: Float64Array, column: number): number {
  return smoothFalloff(beyond(ends, column, from, to), fade);
}

/** At an end of the block, since membership only rises and then falls. */
function leastInRange({ from, to, fade }: Range, ends: Float64Array, column: number): number {
  const off = (v: number) => smoothFalloff(Math.max(from - v, v - to), fade);
  return Math.min(off(ends[column]!), off(ends[column + 1]!));
}

/** How far a block's column lies beyond a range, 0 or less where they meet. */
function beyond(ends: Float64Array, column: number, from: number, to: number): number {
  return Math.max(from - ends[column + 1]!, ends[column]! - to);
}
