import { describe, expect, it } from "vitest";
import { fillsOf, MOST_FILLS } from "../../../server/engine/propose/fills.ts";

const fills = (least: number, ...cells: [y: number, n: number, u?: number, v?: number][]) =>
  fillsOf(
    { cells: cells.map(([y, n, u = 0, v = 0]) => ({ at: [y, u, v] as const, n })), calm: 0, noisy: false },
    least,
  );

describe("fills", () => {
  it("are heaps of means, each at the middle of those near to it, by their number", () => {
    const [one, ...others] = fills(14, [100, 50, 8, -2], [104, 30, 8, 2]);
    expect(one).toEqual({ at: [101.5, 8, -0.5], n: 80, tight: 80 });
    expect(others).toEqual([]);
  });

  it("take what is up to nine steps away, of which five are as good as it", () => {
    // The middle stays with the first, that has by far the most.
    const from = (y: number) => fills(0, [100, 1e9], [y, 10]);
    expect(from(105).map(({ n, tight }) => [n - 1e9, tight - 1e9])).toEqual([[10, 10]]);
    expect(from(105.1).map(({ n, tight }) => [n - 1e9, tight - 1e9])).toEqual([[10, 0]]);
    expect(from(109).map(({ n, tight }) => [n - 1e9, tight - 1e9])).toEqual([[10, 0]]);
    expect(from(109.1).map(({ n, tight }) => [n, tight])).toEqual([
      [1e9, 1e9],
      [10, 10],
    ]);
    // In all three planes.
    expect(fills(0, [100, 1e9], [100, 10, 6, 6]).map(({ n }) => n - 1e9)).toEqual([10]);
    expect(fills(0, [100, 1e9], [100, 10, 7, 7])).toHaveLength(2);
  });

  it("are drawn to where they are densest, in three turns", () => {
    // From 100 to the mean of what is within 7: 103, then 106, then 109 of a row that goes on.
    const row = Array.from({ length: 12 }, (_, k): [number, number] => [100 + 6 * k, k === 0 ? 10 : 10]);
    // 100, 106 → 103: the same two are within 7; there it stays.
    expect(fills(0, ...row)[0]!.at[0]).toBe(103);
    // Heavier the further on: 100 + 106 → 105.5; + 112 → 111…
    const rising = fills(0, [100, 1], [106, 9], [112, 90], [118, 900], [124, 9000]);
    expect(rising[0]!.at[0]).toBeCloseTo(117.4, 0);
  });

  it("are no accidents", () => {
    expect(fills(14, [100, 14], [150, 13]).map(({ n }) => n)).toEqual([14]);
  });

  it("are not looked for where they are too many", () => {
    const many = Array.from({ length: 60 }, (_, k): [number, number] => [20 * k, 20]);
    expect(fills(14, ...many)).toHaveLength(MOST_FILLS + 1);
    expect(fills(14, ...many.slice(0, 30))).toHaveLength(30);
  });
});
