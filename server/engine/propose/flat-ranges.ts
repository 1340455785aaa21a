import { deltaE00 } from "../colour/ciede2000.ts";
import type { Lab } from "../colour/cielab.ts";
import { fastLab } from "../colour/fast-lab.ts";
import type { Picture } from "../raster.ts";
import type { WeightedColour } from "./colours.ts";

/** What of a picture goes to one flat colour: all within a ΔE00, but for what is other colours'. */
export interface FlatRange {
  readonly within: number;
  /** Numbers of other colours, and the ΔE00 around each that is theirs. */
  readonly except: readonly { readonly colour: number; readonly within: number }[];
}

/** Colours of a picture that are looked at, the commonest. */
const MOST_COLOURS = 4000;

/** A drawing's own colours with what lies between them at its edges. */
export function drawnColours({ data }: Picture, kept: Uint8Array): WeightedColour[] {
  const counts = new Map<number, number>();
  for (let i = 0; i < kept.length; i++) {
    if (data[i * 4 + 3]! < 128) continue;
    const key = (data[i * 4]! << 16) | (data[i * 4 + 1]! << 8) | data[i * 4 + 2]!;
    counts.set(key, (counts.get(key) ?? 0) + 1);
  }
  const lab = new Float64Array(3);
  return [...counts]
    .sort((a, b) => b[1] - a[1] || a[0] - b[0])
    .slice(0, MOST_COLOURS)
    .map(([key, weight]) => {
      fastLab(key >> 16, (key >> 8) & 255, key & 255, lab);
      return { lab: { L: lab[0]!, a: lab[1]!, b: lab[2]! }, weight };
    });
}

/** Parts of the way to another colour up to which things may be that one's. */
const PARTS = [0.2, 0.25, 0.3, 0.35, 0.4, 0.45, 0.5, 0.55, 0.6, 0.65, 0.7, 0.75, 0.8];
const FURTHEST = 60;
const STEP = 0.5;
const PASSES = 4;

/**
 * Ranges that give each of a drawing's colours to the flat colour nearest to it, so that an antialiased edge falls
 * half to one side and half to the other: as few exceptions as do. `printed` of the flat colours, the first, are
 * plates; the others only keep what is theirs.
 */
export function flatRanges(
  flat: readonly Lab[],
  printed: number,
  drawn: readonly WeightedColour[],
): FlatRange[] {
  const far = drawn.map(({ lab: p }) =>
    Float64Array.from(flat, (q) => deltaE00(p.L, p.a, p.b, q.L, q.a, q.b)),
  );
  const home = far.map((to) => to.indexOf(Math.min(...to)));
  return flat.slice(0, printed).map((p, i) => {
    const to = flat.map((q) => deltaE00(p.L, p.a, p.b, q.L, q.a, q.b));
    const theirs = to.map((d, j) => (j === i ? 0 : d / 2));
    let within = Math.max(8, ...to) / 2;
    const errors = (): number => {
      let sum = 0;
      for (const [c, d] of far.entries()) {
        let holds = d[i]! <= within;
        for (let j = 0; holds && j < theirs.length; j++)
          if (theirs[j]! > 0 && d[j]! <= theirs[j]!) holds = false;
        if (holds !== (home[c] === i)) sum += drawn[c]!.weight;
      }
      return sum;
    };
    for (let pass = 0; pass < PASSES; pass++) {
      const radii = Array.from({ length: (FURTHEST - 1) / STEP }, (_, k) => 1 + k * STEP);
      within = bestOf(radii, (radius) => {
        within = radius;
        return errors();
      });
      for (const [j, d] of to.entries()) {
        if (j === i) continue;
        // None at all where that does as well.
        theirs[j] = 0;
        const none = errors();
        const part = bestOf(PARTS, (share) => {
          theirs[j] = share * d;
          return errors();
        });
        theirs[j] = part * d;
        if (none <= errors()) theirs[j] = 0;
      }
    }
    const except = theirs.flatMap((d, colour) => (d > 0 ? [{ colour, within: rounded(d) }] : []));
    return { within: rounded(within), except };
  });
}

/** The middle of the longest run of values that cost least, to be far from where that ends. */
function bestOf(values: readonly number[], cost: (value: number) => number): number {
  const costs = values.map(cost);
  const least = Math.min(...costs);
  let best = [0, -1];
  for (let start = 0; start < costs.length; ) {
    let end = start;
    while (end < costs.length && costs[end] === least) end++;
    if (end > start && end - 1 - start > best[1]! - best[0]!) best = [start, end - 1];
    start = end === start ? start + 1 : end;
  }
  if (best[1]! < 0) return values[costs.indexOf(least)]!;
  return values[(best[0]! + best[1]!) >> 1]!;
}

function rounded(difference: number): number {
  return Math.max(1, Math.round(difference * 10) / 10);
}
