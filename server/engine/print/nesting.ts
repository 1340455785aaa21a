import type { DotLattice } from "./dot-lattices.ts";
import { Mixer } from "./mixer.ts";

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

/** Parts of a dot under which and over which the solver, who follows slopes, takes it for clear and for solid. */
const NOTHING = 1e-4;
const ALL = 1 - NOTHING;

/**
 * Mixes tabled overprints of stations whose dots nest: `eachRing` without allocating, for whoever mixes one colour after
 * the other. Three bands from `mixed`.
 */
export class NestedMixer {
  readonly mixed = new Float64Array(3);
  readonly #mixer: Mixer;
  readonly #lattices: readonly DotLattice[];
  /** Stations that share no lattice with another. */
  readonly #alone: readonly number[];
  /** Of each lattice its halftones, the least area first, and how many there are. */
  readonly #sorted: readonly Uint8Array[];
  readonly #counts: Uint8Array;
  /** What each halftone shares with the dot that a ring lies around. */
  readonly #before: readonly Float64Array[];
  #areas: Float64Array;

  constructor(table: Float32Array | Float64Array, stations: number, lattices: readonly DotLattice[]) {
    this.#mixer = new Mixer(table, stations);
    this.#lattices = lattices;
    const shared = new Set(lattices.flatMap((lattice) => lattice.stations));
    this.#alone = Array.from({ length: stations }, (_, s) => s).filter((s) => !shared.has(s));
    this.#sorted = lattices.map((lattice) => new Uint8Array(lattice.stations.length));
    this.#before = lattices.map((lattice) => new Float64Array(lattice.stations.length));
    this.#counts = new Uint8Array(lattices.length);
    this.#areas = new Float64Array(stations);
  }

  /** `areas` 0–1, one a station. */
  mix(areas: Float64Array): void {
    this.#areas = areas;
    const { share, offset } = this.#mixer;
    let base = 0;
    let halftones = 0;
    for (const s of this.#alone) {
      const a = areas[s]!;
      if (a >= 1) base += 3 << s;
      else if (a > 0) {
        share[halftones] = a;
        offset[halftones++] = 3 << s;
      }
    }
    for (let l = 0; l < this.#lattices.length; l++) {
      const sorted = this.#sorted[l]!;
      let count = 0;
      for (const s of this.#lattices[l]!.stations) {
        const a = areas[s]!;
        if (a >= 1) base += 3 << s;
        else if (a > 0) {
          let at = count++;
          for (; at > 0 && areas[sorted[at - 1]!]! > a; at--) sorted[at] = sorted[at - 1]!;
          sorted[at] = s;
        }
      }
      this.#counts[l] = count;
    }
    this.mixed.fill(0);
    this.#rings(0, 1, base, halftones);
  }

  #rings(next: number, weight: number, base: number, halftones: number): void {
    const mixer = this.#mixer;
    const { share, offset } = mixer;
    let l = next;
    for (; l < this.#counts.length && this.#counts[l]! < 2; l++) {
      if (this.#counts[l] === 0) continue;
      const s = this.#sorted[l]![0]!;
      share[halftones] = this.#areas[s]!;
      offset[halftones++] = 3 << s;
    }
    if (l === this.#counts.length) {
      mixer.mix(base, halftones);
      this.mixed[0]! += weight * mixer.mixed[0]!;
      this.mixed[1]! += weight * mixer.mixed[1]!;
      this.mixed[2]! += weight * mixer.mixed[2]!;
      return;
    }
    const { overlap } = this.#lattices[l]!;
    const sorted = this.#sorted[l]!;
    const before = this.#before[l]!;
    const count = this.#counts[l]!;
    const areas = this.#areas;
    for (let i = 0; i < count; i++) before[i] = 0;
    let low = 0;
    for (let k = 0; k <= count; k++) {
      const high = k === count ? 1 : areas[sorted[k]!]!;
      const width = high - low;
      if (width < NARROW) continue;
      let on = base;
      let place = halftones;
      for (let i = 0; i < count; i++) {
        const s = sorted[i]!;
        const a = areas[s]!;
        const until = k === count ? a : overlap.at(a, high);
        const part = (until - before[i]!) / width;
        before[i] = until;
        if (part > ALL) on += 3 << s;
        else if (part >= NOTHING) {
          share[place] = part;
          offset[place++] = 3 << s;
        }
      }
      this.#rings(l + 1, weight * width, on, place);
      low = high;
    }
  }
}
