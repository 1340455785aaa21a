import { expect, it } from "vitest";
import { hueMembership, smoothFalloff } from "../../../server/engine/extract/ranges.ts";

it("a range of hues holds both its ends, past 0 too, and fades the short way round", () => {
  for (const [from, to] of [
    [20, 60],
    [350, 50],
  ] as const) {
    expect([from, to].map((hue) => hueMembership(hue, from, to, 0))).toEqual([1, 1]);
    expect([from - 1, to + 1].map((hue) => hueMembership(hue, from, to, 0))).toEqual([0, 0]);
    expect(hueMembership(from, from, to, 10)).toBe(1);
    expect(hueMembership(to + 5, from, to, 10)).toBeCloseTo(0.5, 12);
  }
  expect([0, 359, 200].map((hue) => hueMembership(hue, 350, 50, 0))).toEqual([1, 1, 0]);
  // 355 lies 15 degrees before 10.
  expect(hueMembership(355, 10, 60, 30)).toBeCloseTo(0.5, 12);
});

it("the short way round ends at the opposite hue", () => {
  // 180 of a fade of 360 is its middle; a degree less or more is nearer.
  const at = (hue: number) => hueMembership(hue, 0, 0, 360);
  expect(at(180)).toBeCloseTo(0.5, 12);
  expect(at(179.5)).toBeCloseTo(smoothFalloff(179.5, 360), 12);
  expect(at(180.5)).toBeCloseTo(smoothFalloff(179.5, 360), 12);
});

it("a fade is a smooth step: 1 at the range, half midway, 0 at its end", () => {
  expect([-1, 0, 5, 10, 11].map((beyond) => smoothFalloff(beyond, 10))).toEqual([1, 1, 0.5, 0, 0]);
  // 1 − t²(3 − 2t) at a quarter.
  expect(smoothFalloff(2.5, 10)).toBeCloseTo(0.84375, 12);
});
