import { deltaE00 } from "../colour/ciede2000.ts";
import type { Lab } from "../colour/cielab.ts";

/** What of a picture goes to one flat colour: all within a ΔE00, but for what is nearer to other colours. */
export interface FlatRange {
  readonly within: number;
  /** Numbers of other colours, and the ΔE00 around each that is theirs. */
  readonly except: readonly { readonly colour: number; readonly within: number }[];
}

/** No range reaches further than this; between two colours it need not reach further than half of the way. */
const FURTHEST = 45;

/**
 * Ranges that divide the colours of a drawing among its flat ones, so that an antialiased edge falls to one side or
 * to the other, half and half: each reaches half of the way to the farthest colour, and leaves to the nearer ones
 * what lies beyond half of the way to them. No two overlap by more than rounding; the last `silent` colours are not
 * printed and only keep what is theirs.
 */
export function flatRanges(colours: readonly Lab[], printed: number): FlatRange[] {
  const far = colours.map((p) => colours.map((q) => deltaE00(p.L, p.a, p.b, q.L, q.a, q.b)));
  return colours.slice(0, printed).map((_, i) => {
    const halves = far[i]!.map((d) => d / 2);
    const others = halves.filter((_, j) => j !== i);
    if (others.length === 0) return { within: FURTHEST, except: [] };
    const within = rounded(Math.min(FURTHEST, Math.max(...others)));
    // What the widest exceptions leave anyhow needs none of its own.
    const except = halves.flatMap((half, j) =>
      j === i || half >= within - 0.5 ? [] : [{ colour: j, within: rounded(half) }],
    );
    return { within, except };
  });
}

function rounded(difference: number): number {
  return Math.max(1, Math.floor(difference * 10) / 10);
}
