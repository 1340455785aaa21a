import type { DotLattice } from "./dot-lattices.ts";

/** Areas under which a part of a dot counts as clear, and over which as solid. */
export const CLEAR = 0.002;
export const SOLID = 0.998;
/** Intervals of tone narrower than this are none. */
const NARROW = 1e-5;

/**
 * The slow, obvious form of what `Nesting` and the pixels' loops do. A lattice's cell falls into rings: what turns to ink
 * between one plate's tone and the next greater one's. In each ring a plate has its own area, the part of its blurred dot
 * that lies there; within a ring dots are independent, so that Demichel holds, and rings are weighed by their size.
 * Calls `ring` with each combination of the lattices' rings: its weight, all of which sum to 1, and each station's area.
 */
export function eachRing(
  areas: ArrayLike<number>,
  lattices: readonly DotLattice[],
  ring: (weight: number, areas: Float64Array) => void,
): void {
  const here = Float64Array.from(areas, (a) => Math.min(1, Math.max(0, a)));
  const visit = (next: number, weight: number): void => {
    const lattice = lattices[next];
    if (!lattice) {
      ring(weight, here);
      return;
    }
    const { overlap } = lattice;
    const halftones = lattice.stations
      .filter((s) => areas[s]! > 0 && areas[s]! < 1)
      .sort((p, q) => areas[p]! - areas[q]!);
    if (halftones.length < 2) {
      visit(next + 1, weight);
      return;
    }
    const ends = [0, ...halftones.map((s) => areas[s]!), 1];
    for (let k = 1; k < ends.length; k++) {
      const [low, high] = [ends[k - 1]!, ends[k]!];
      if (high - low < NARROW) continue;
      for (const s of halftones) {
        const a = areas[s]!;
        // With a whole cell a dot shares itself.
        const until = high === 1 ? a : overlap.at(a, high);
        const share = (until - overlap.at(a, low)) / (high - low);
        here[s] = share < CLEAR ? 0 : share > SOLID ? 1 : share;
      }
      visit(next + 1, weight * (high - low));
    }
    for (const s of halftones) here[s] = areas[s]!;
  };
  visit(0, 1);
}
