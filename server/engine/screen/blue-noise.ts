/**
 * An order of a square's pixels in which every beginning is spread evenly without any pattern: blue noise. By Ulichney's
 * void-and-cluster method (Proc. SPIE 1913, 1993, from memory), on a torus, so that squares join without a seam.
 * Ranks run from 0 to side² − 1. The same side gives the same order.
 */
export function blueNoise(side: number): Uint16Array {
  const area = side * side;
  const reach = Math.min(6, Math.floor((side - 1) / 2));
  const kernel = gaussian(reach);
  const energy = new Float64Array(area);
  const on = new Uint8Array(area);
  const change = (at: number, by: 1 | -1) => {
    on[at] = by === 1 ? 1 : 0;
    const x = at % side;
    const y = (at - x) / side;
    for (let dy = -reach, k = 0; dy <= reach; dy++) {
      const row = ((y + dy + side) % side) * side;
      for (let dx = -reach; dx <= reach; dx++, k++)
        energy[row + ((x + dx + side) % side)]! += by * kernel[k]!;
    }
  };
  const tightest = () => extreme(energy, on, 1);
  const emptiest = () => extreme(energy, on, 0);

  // A tenth of the pixels, by a fixed sequence, then moved from clusters into voids until nothing moves any more.
  const first = Math.max(1, Math.floor(area / 10));
  let seed = 1;
  for (let placed = 0; placed < first; ) {
    seed = (Math.imul(seed, 1664525) + 1013904223) >>> 0;
    const at = Math.floor((seed / 2 ** 32) * area);
    if (on[at] === 1) continue;
    change(at, 1);
    placed++;
  }
  for (;;) {
    const cluster = tightest();
    change(cluster, -1);
    const hole = emptiest();
    change(hole, 1);
    if (hole === cluster) break;
  }

  const ranks = new Uint16Array(area);
  const start = on.slice();
  for (let rank = first - 1; rank >= 0; rank--) {
    const at = tightest();
    change(at, -1);
    ranks[at] = rank;
  }
  for (let at = 0; at < area; at++) if (start[at] === 1) change(at, 1);
  for (let rank = first; rank < area; rank++) {
    const at = emptiest();
    change(at, 1);
    ranks[at] = rank;
  }
  return ranks;
}

const SIGMA = 1.5;

function gaussian(reach: number): Float64Array {
  const side = 2 * reach + 1;
  return Float64Array.from({ length: side * side }, (_, k) => {
    const dx = (k % side) - reach;
    const dy = Math.floor(k / side) - reach;
    return Math.exp(-(dx * dx + dy * dy) / (2 * SIGMA * SIGMA));
  });
}

/** The pixel that is on with most energy, or off with least; the first of equals. */
function extreme(energy: Float64Array, on: Uint8Array, state: 0 | 1): number {
  let found = -1;
  let best = state === 1 ? Number.NEGATIVE_INFINITY : Number.POSITIVE_INFINITY;
  for (let at = 0; at < energy.length; at++) {
    if (on[at] !== state) continue;
    const e = energy[at]!;
    if (state === 1 ? e > best + 1e-9 : e < best - 1e-9) {
      best = e;
      found = at;
    }
  }
  return found;
}
