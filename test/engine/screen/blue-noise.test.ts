import { describe, expect, it } from "vitest";
import { blueNoise } from "../../../server/engine/screen/blue-noise.ts";

describe("blue noise", () => {
  it("ranks each pixel once, the same in every run", () => {
    const ranks = blueNoise(32);
    expect([...ranks].sort((a, b) => a - b)).toEqual(Array.from({ length: 1024 }, (_, i) => i));
    expect(blueNoise(32)).toEqual(ranks);
  });

  it("has little of the low frequencies that the eye sees", () => {
    const side = 64;
    const ranks = blueNoise(side);
    const power = (on: (rank: number) => boolean) => {
      let [low, high, lows, highs] = [0, 0, 0, 0];
      for (let v = 0; v < side / 2; v += 2)
        for (let u = 1; u < side / 2; u += 2) {
          let [re, im] = [0, 0];
          for (let at = 0; at < ranks.length; at++) {
            if (!on(ranks[at]!)) continue;
            const phase = (2 * Math.PI * ((at % side) * u + Math.floor(at / side) * v)) / side;
            re += Math.cos(phase);
            im += Math.sin(phase);
          }
          const f = Math.hypot(u, v);
          if (f < 8) [low, lows] = [low + re * re + im * im, lows + 1];
          else if (f > 16) [high, highs] = [high + re * re + im * im, highs + 1];
        }
      return low / lows / (high / highs);
    };
    expect(power((rank) => rank < ranks.length / 4)).toBeLessThan(0.1);
  });

  it("ranks as a plain search does, which always looks at every pixel", () => {
    for (const side of [9, 33]) expect(blueNoise(side)).toEqual(plainly(side));
  });
});

/** Void and cluster written plainly: of all pixels in a state the one with most, or least, energy; the first of equals. */
function plainly(side: number): Uint16Array {
  const area = side * side;
  const reach = Math.min(6, Math.floor((side - 1) / 2));
  const energy = new Float64Array(area);
  const on = new Uint8Array(area);
  const change = (at: number, by: 1 | -1) => {
    on[at] = by === 1 ? 1 : 0;
    for (let dy = -reach; dy <= reach; dy++)
      for (let dx = -reach; dx <= reach; dx++) {
        const x = ((at % side) + dx + side) % side;
        const y = (Math.floor(at / side) + dy + side) % side;
        energy[y * side + x]! += by * Math.exp(-(dx * dx + dy * dy) / (2 * 1.5 * 1.5));
      }
  };
  const extreme = (state: 0 | 1) => {
    const sign = state === 1 ? 1 : -1;
    let found = -1;
    for (let at = 0; at < area; at++)
      if (on[at] === state && (found < 0 || sign * (energy[at]! - energy[found]!) > 1e-9)) found = at;
    return found;
  };
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
    const cluster = extreme(1);
    change(cluster, -1);
    const hole = extreme(0);
    change(hole, 1);
    if (hole === cluster) break;
  }
  const ranks = new Uint16Array(area);
  const start = on.slice();
  for (let rank = first - 1; rank >= 0; rank--) {
    const at = extreme(1);
    change(at, -1);
    ranks[at] = rank;
  }
  for (let at = 0; at < area; at++) if (start[at] === 1) change(at, 1);
  for (let rank = first; rank < area; rank++) {
    const at = extreme(0);
    change(at, 1);
    ranks[at] = rank;
  }
  return ranks;
}
