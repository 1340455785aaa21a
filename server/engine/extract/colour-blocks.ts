import type { Extraction } from "../plan.ts";
import { type DescribedColours, LEAST_DIFFERENCE } from "./described-colours.ts";
import { falling, inTurn, isInTurn, LARGEST_SL, LEAST_HUE_CHROMA } from "./ranges.ts";

/** Colours of a block. */
export const BLOCK = 256;

/** Ends of each column of a block, the least and the greatest, beside one another. */
const ENDS = 8;
const COLUMNS = { lightness: 0, chroma: 2, hue: 4, opacity: 6 } as const;

/**
 * Between which ends the colours of each block of a table lie, so that a block that lies outside of an extraction as a
 * whole is not looked at colour by colour. Worth it where colours that are alike stand together (`likeTogether`).
 */
export class ColourBlocks {
  readonly #ends: Float64Array;

  constructor(colours: DescribedColours) {
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
    return mostOf(extraction, this.#ends, block * ENDS);
  }

  /** None belongs to it by less. */
  least(block: number, extraction: Extraction): number {
    return leastOf(extraction, this.#ends, block * ENDS);
  }
}

function mostOf(e: Extraction, ends: Float64Array, at: number): number {
  switch (e.by) {
    case "artwork":
      return 1;
    case "all": {
      let most = 1;
      for (const part of e.of) most = Math.min(most, mostOf(part, ends, at));
      return most;
    }
    case "any": {
      let most = 0;
      for (const part of e.of) most = Math.max(most, mostOf(part, ends, at));
      return most;
    }
    case "except":
      return 1 - leastOf(e.of, ends, at);
    case "near": {
      const gap = beyond(ends, at + COLUMNS.lightness, e.colour.L, e.colour.L);
      return gap > LARGEST_SL * (Math.max(e.within, LEAST_DIFFERENCE) + e.fade) ? 0 : 1;
    }
    case "hue": {
      const [from, to] = [ends[at + COLUMNS.hue]!, ends[at + COLUMNS.hue + 1]!];
      const vivid = Math.min(1, ends[at + COLUMNS.chroma + 1]! / LEAST_HUE_CHROMA);
      // The range begins among the block's hues, or one of them lies in it; else the nearest is at an end.
      if (e.from >= from && e.from <= to) return vivid;
      return vivid * Math.max(inTurn(from, e.from, e.to, e.fade), inTurn(to, e.from, e.to, e.fade));
    }
    default:
      return falling(beyond(ends, at + COLUMNS[e.by], e.from, e.to), e.fade);
  }
}

function leastOf(e: Extraction, ends: Float64Array, at: number): number {
  switch (e.by) {
    case "artwork":
      return 1;
    case "all": {
      let least = 1;
      for (const part of e.of) least = Math.min(least, leastOf(part, ends, at));
      return least;
    }
    case "any": {
      let least = 0;
      for (const part of e.of) least = Math.max(least, leastOf(part, ends, at));
      return least;
    }
    case "except":
      return 1 - mostOf(e.of, ends, at);
    case "near":
      return 0;
    case "hue": {
      const [from, to] = [ends[at + COLUMNS.hue]!, ends[at + COLUMNS.hue + 1]!];
      const inside =
        isInTurn(from, e.from, e.to) &&
        isInTurn(to, e.from, e.to) &&
        (e.from <= e.to || from > e.to === to > e.to);
      return inside ? Math.min(1, ends[at + COLUMNS.chroma]! / LEAST_HUE_CHROMA) : 0;
    }
    default: {
      // The least lies at an end, since membership only rises and then falls.
      const column = at + COLUMNS[e.by];
      const [from, to] = [ends[column]!, ends[column + 1]!];
      return Math.min(
        falling(Math.max(e.from - from, from - e.to), e.fade),
        falling(Math.max(e.from - to, to - e.to), e.fade),
      );
    }
  }
}

/** How far a block's column lies beyond a range, 0 or less where they meet. */
function beyond(ends: Float64Array, column: number, from: number, to: number): number {
  return Math.max(from - ends[column + 1]!, ends[column]! - to);
}
