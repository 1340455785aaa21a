import { gaussian } from "./blue-noise.ts";

/** How much the union weighs beside the mask's own pixels. */
const UNION = 1;

/**
 * One more order of a square's pixels, blue by itself and together with others: what it has set at any tone overlaps each of
 * theirs as chance has it, and the union of both is spread evenly too (Wang & Parker, Properties of jointly-blue noise
 * masks, CIC 1999; here by Ulichney's largest void, on a torus). Ranks run from 0 to side² − 1.
 */
export function jointNoise(side: number, others: readonly Uint16Array[]): Uint16Array {
  const area = side * side;
  const places = others.map((ranks) => {
    const at = new Uint16Array(area);
    ranks.forEach((rank, pixel) => {
      at[rank] = pixel;
    });
    return at;
  });
  const own = new Field(side);
  const union = new Field(side);
  const inUnion = new Uint8Array(area);
  /** How many of the others have each pixel, and how often what is set meets them. */
  const counts = new Uint8Array(area);
  const ranks = new Uint16Array(area);
  const set = new Uint8Array(area);
  let met = 0;
  const join = (at: number) => {
    if (inUnion[at] === 1) return;
    inUnion[at] = 1;
    union.add(at);
  };
  for (let rank = 0; rank < area; rank++) {
    for (const place of places) {
      const at = place[rank]!;
      counts[at]!++;
      if (set[at] === 1) met++;
      join(at);
    }
    // At this tone, n of N set in each: n² ⁄ N of them would meet by chance.
    const n = rank + 1;
    const within = met < (others.length * n * n) / area;
    const usual = (others.length * n) / area;
    const best =
      lowest(own.energy, union.energy, set, (at) => counts[at]! > usual === within) ??
      lowest(own.energy, union.energy, set, () => true)!;
    set[best] = 1;
    ranks[best] = rank;
    met += counts[best]!;
    own.add(best);
    join(best);
  }
  return ranks;
}

/** The free pixel with least around it; the first of equals. */
function lowest(
  own: Float64Array,
  union: Float64Array,
  set: Uint8Array,
  isOf: (at: number) => boolean,
): number | undefined {
  let found: number | undefined;
  let least = Number.POSITIVE_INFINITY;
  for (let at = 0; at < set.length; at++) {
    const energy = own[at]! + UNION * union[at]!;
    if (energy >= least - 1e-9 || set[at] === 1 || !isOf(at)) continue;
    least = energy;
    found = at;
  }
  return found;
}

/** How crowded each pixel's surroundings are. */
class Field {
  readonly energy: Float64Array;
  readonly #side: number;
  readonly #reach: number;
  readonly #kernel: Float64Array;

  constructor(side: number) {
    this.energy = new Float64Array(side * side);
    this.#side = side;
    this.#reach = Math.min(6, Math.floor((side - 1) / 2));
    this.#kernel = gaussian(this.#reach);
  }

  add(at: number): void {
    const side = this.#side;
    const reach = this.#reach;
    const x = at % side;
    const y = (at - x) / side;
    for (let dy = -reach, k = 0; dy <= reach; dy++) {
      const row = ((y + dy + side) % side) * side;
      for (let dx = -reach; dx <= reach; dx++, k++)
        this.energy[row + ((x + dx + side) % side)]! += this.#kernel[k]!;
    }
  }
}
