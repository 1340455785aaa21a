import { gaussian } from "./blue-noise.ts";

/** How much the union with each of the others weighs beside the mask's own pixels. */
const UNION = 0.5;
/** Parts of the tone scale of each other mask, of which what is set has as many pixels from one as from another. */
const PARTS = 16;
/** Pixels that a part may be ahead of its share. */
const AHEAD = 0.5;

/**
 * One more order of a square's pixels, blue by itself and jointly with each of some others: what it has set at any tone
 * overlaps each of theirs at any tone as chance has it, and the union with each at the same tone is spread evenly too
 * (Wang & Parker, Properties of jointly-blue noise masks, CIC 1999, weigh such unions; here by Ulichney's largest void, on
 * a torus, among pixels whose ranks in the others are not more frequent yet than they should be). Ranks run from 0 to
 * side² − 1.
 */
export function jointNoise(side: number, others: readonly Uint16Array[]): Uint16Array {
  const area = side * side;
  const partOf = (ranks: Uint16Array) => Uint8Array.from(ranks, (rank) => Math.floor((rank * PARTS) / area));
  const masks = others.map((ranks) => ({
    places: placesOf(ranks),
    part: partOf(ranks),
    /** How many of those set lie in each part. */
    counts: new Uint32Array(PARTS),
    /** How far each is ahead of its share. */
    ahead: new Float64Array(PARTS),
    union: new Uint8Array(area),
  }));
  const field = new Field(side);
  const join = (union: Uint8Array, at: number) => {
    if (union[at] === 1) return;
    union[at] = 1;
    field.add(at, UNION);
  };
  const aheadAt = (at: number) => {
    let sum = 0;
    for (const { part, ahead } of masks) sum += ahead[part[at]!]!;
    return sum;
  };
  const ranks = new Uint16Array(area);
  const set = new Uint8Array(area);
  let free = Uint16Array.from({ length: area }, (_, at) => at);
  for (let rank = 0; rank < area; rank++) {
    if (rank % THINNED === 0) free = free.filter((at) => set[at] === 0);
    for (const { places, union, counts, ahead } of masks) {
      join(union, places[rank]!);
      for (let i = 0; i < PARTS; i++) ahead[i] = Math.max(0, counts[i]! - rank / PARTS - AHEAD);
    }
    const best = lowest(field.energy, free, set, aheadAt);
    set[best] = 1;
    ranks[best] = rank;
    field.add(best, 1);
    for (const { union, counts, part } of masks) {
      counts[part[best]!]!++;
      join(union, best);
    }
  }
  return ranks;
}

/** Pixels are taken off the list of free ones so many at a time. */
const THINNED = 256;

/** The pixel of each rank. */
function placesOf(ranks: Uint16Array): Uint16Array {
  const places = new Uint16Array(ranks.length);
  ranks.forEach((rank, pixel) => {
    places[rank] = pixel;
  });
  return places;
}

/** Of the free pixels that are least ahead the one with least around it; the first of equals. */
function lowest(
  energy: Float64Array,
  free: Uint16Array,
  set: Uint8Array,
  aheadAt: (at: number) => number,
): number {
  let found = -1;
  let fewest = Number.POSITIVE_INFINITY;
  let least = Number.POSITIVE_INFINITY;
  for (let i = 0; i < free.length; i++) {
    const at = free[i]!;
    // Most pixels are out by their energy, which is there already.
    if ((fewest === 0 && energy[at]! >= least - 1e-9) || set[at] === 1) continue;
    const ahead = aheadAt(at);
    if (ahead > fewest || (ahead === fewest && energy[at]! >= least - 1e-9)) continue;
    fewest = ahead;
    least = energy[at]!;
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

  add(at: number, weight: number): void {
    const side = this.#side;
    const reach = this.#reach;
    const x = at % side;
    const y = (at - x) / side;
    for (let dy = -reach, k = 0; dy <= reach; dy++) {
      const row = ((y + dy + side) % side) * side;
      for (let dx = -reach; dx <= reach; dx++, k++)
        this.energy[row + ((x + dx + side) % side)]! += weight * this.#kernel[k]!;
    }
  }
}
