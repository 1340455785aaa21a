import { describe, expect, it } from "vitest";
import { likeness } from "../../../server/engine/inspect/likeness.ts";
import { random } from "../../property.ts";

const plate = (seed: number, share: number) => {
  const next = random(seed);
  return Uint8Array.from({ length: 500 }, () => (next() < share ? Math.floor(next() * 256) : 0));
};

/** By the definitions, with nothing left out. */
function slowly(a: Uint8Array, b: Uint8Array) {
  const mean = (x: Uint8Array) => x.reduce((sum, v) => sum + v, 0) / x.length;
  const [ma, mb] = [mean(a), mean(b)];
  let [cov, va, vb, both, either] = [0, 0, 0, 0, 0];
  for (let i = 0; i < a.length; i++) {
    cov += (a[i]! - ma) * (b[i]! - mb);
    va += (a[i]! - ma) ** 2;
    vb += (b[i]! - mb) ** 2;
    both += Math.min(a[i]!, b[i]!);
    either += Math.max(a[i]!, b[i]!);
  }
  return { correlation: cov / Math.sqrt(va * vb), overlap: both / either };
}

describe("likeness", () => {
  it("is Pearson's correlation, and shared ink over all ink", () => {
    for (let seed = 1; seed < 20; seed++) {
      const [a, b] = [plate(seed, 0.6), plate(seed + 100, 0.3)];
      const expected = slowly(a, b);
      const found = likeness(a, b);
      expect(found.correlation).toBeCloseTo(expected.correlation, 9);
      expect(found.overlap).toBeCloseTo(expected.overlap, 12);
    }
  });

  it("is whole for a plate and itself, and nothing for plates that are empty or flat", () => {
    expect(likeness(plate(1, 0.5), plate(1, 0.5))).toEqual({
      correlation: expect.closeTo(1, 12),
      overlap: 1,
    });
    const empty = new Uint8Array(500);
    expect(likeness(empty, empty)).toEqual({ correlation: 0, overlap: 0 });
    expect(likeness(new Uint8Array(500).fill(9), plate(1, 0.5)).correlation).toBe(0);
  });
});
