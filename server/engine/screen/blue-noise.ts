/**
 * An order of a square's pixels in which every beginning is spread evenly without any pattern: blue noise. By Ulichney's
 * void-and-cluster method (Proc. SPIE 1913, 1993, from memory), on a torus, so that squares join without a seam.
 * Ranks run from 0 to side² − 1. The same side gives the same order.
 */
export function blueNoise(side: number): Uint16Array {
  const area = side * side;
  const energy = new Energy(side);
  const { on } = energy;

  // A tenth of the pixels, by a fixed sequence, then moved from clusters into voids until nothing moves any more.
  const first = Math.max(1, Math.floor(area / 10));
  let seed = 1;
  for (let placed = 0; placed < first; ) {
    seed = (Math.imul(seed, 1664525) + 1013904223) >>> 0;
    const at = Math.floor((seed / 2 ** 32) * area);
    if (on[at] === 1) continue;
    energy.change(at, 1);
    placed++;
  }
  for (;;) {
    const cluster = energy.extreme(1);
    energy.change(cluster, -1);
    const hole = energy.extreme(0);
    energy.change(hole, 1);
    if (hole === cluster) break;
  }

  const ranks = new Uint16Array(area);
  const start = on.slice();
  for (let rank = first - 1; rank >= 0; rank--) {
    const at = energy.extreme(1);
    energy.change(at, -1);
    ranks[at] = rank;
  }
  for (let at = 0; at < area; at++) if (start[at] === 1) energy.change(at, 1);
  for (let rank = first; rank < area; rank++) {
    const at = energy.extreme(0);
    energy.change(at, 1);
    ranks[at] = rank;
  }
  return ranks;
}

const SIGMA = 1.5;

/** Weights of a square of 2 × reach + 1 pixels around its middle. */
export function gaussian(reach: number): Float64Array {
  const side = 2 * reach + 1;
  return Float64Array.from({ length: side * side }, (_, k) => {
    const dx = (k % side) - reach;
    const dy = Math.floor(k / side) - reach;
    return Math.exp(-(dx * dx + dy * dy) / (2 * SIGMA * SIGMA));
  });
}

/** Pixels along a block's side. */
const BLOCK = 16;

/** How crowded each pixel's surroundings are; extremes are looked for again only in blocks that changed. */
class Energy {
  /** 1 for each pixel that is on. */
  readonly on: Uint8Array;
  readonly #side: number;
  readonly #reach: number;
  readonly #kernel: Float64Array;
  readonly #energy: Float64Array;
  readonly #blocks: number;
  /** For pixels off and pixels on, the extreme of each block, −1 where it has none; undefined where it is not known. */
  readonly #known: readonly [(number | undefined)[], (number | undefined)[]] = [[], []];

  constructor(side: number) {
    this.on = new Uint8Array(side * side);
    this.#side = side;
    this.#reach = Math.min(6, Math.floor((side - 1) / 2));
    this.#kernel = gaussian(this.#reach);
    this.#energy = new Float64Array(side * side);
    this.#blocks = Math.ceil(side / BLOCK);
  }

  /** Turns a pixel on or off. */
  change(at: number, by: 1 | -1): void {
    const side = this.#side;
    const reach = this.#reach;
    this.on[at] = by === 1 ? 1 : 0;
    const x = at % side;
    const y = (at - x) / side;
    for (let dy = -reach, k = 0; dy <= reach; dy++) {
      const row = (y + dy + side) % side;
      for (let dx = -reach; dx <= reach; dx++, k++) {
        const column = (x + dx + side) % side;
        this.#energy[row * side + column]! += by * this.#kernel[k]!;
        const block = Math.floor(row / BLOCK) * this.#blocks + Math.floor(column / BLOCK);
        this.#known[0][block] = undefined;
        this.#known[1][block] = undefined;
      }
    }
  }

  /** The pixel that is on with most energy, or off with least; the first of equals. */
  extreme(state: 0 | 1): number {
    let found = -1;
    for (let block = 0; block < this.#blocks ** 2; block++) {
      this.#known[state][block] ??= this.#within(block, state);
      const at = this.#known[state][block]!;
      if (at >= 0 && this.#before(at, found, state)) found = at;
    }
    return found;
  }

  #within(block: number, state: 0 | 1): number {
    const x0 = (block % this.#blocks) * BLOCK;
    const y0 = Math.floor(block / this.#blocks) * BLOCK;
    let found = -1;
    for (let y = y0; y < Math.min(this.#side, y0 + BLOCK); y++)
      for (let x = x0; x < Math.min(this.#side, x0 + BLOCK); x++) {
        const at = y * this.#side + x;
        if (this.on[at] === state && this.#before(at, found, state)) found = at;
      }
    return found;
  }

  /** Whether a pixel is more of an extreme than the one found so far; sums may be off in their last digits. */
  #before(at: number, found: number, state: 0 | 1): boolean {
    if (found < 0) return true;
    const more = (this.#energy[at]! - this.#energy[found]!) * (state === 1 ? 1 : -1);
    return more > 1e-9 || (more >= -1e-9 && at < found);
  }
}
