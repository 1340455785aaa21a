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
});
