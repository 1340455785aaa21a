import fc from "fast-check";
import { expect, it } from "vitest";
import type { Curve } from "../../../server/engine/adjust/curve.ts";
import { curveFunction, curveTable } from "../../../server/engine/adjust/curve.ts";
import { holds } from "../../property.ts";

it("changes nothing as a straight line from clear to solid", () => {
  const straight: Curve = [
    [0, 0],
    [1, 1],
  ];
  expect([...curveTable(straight)]).toEqual(Array.from({ length: 256 }, (_, tone) => tone));
});

it("inverts as a straight line from solid to clear", () => {
  const inverse: Curve = [
    [0, 1],
    [1, 0],
  ];
  expect([...curveTable(inverse)]).toEqual(Array.from({ length: 256 }, (_, tone) => 255 - tone));
});

it("holds the first and the last pair's tones beyond them", () => {
  // 51 and 204 are 20 and 80 % in 8 bits.
  const table = curveTable([
    [51 / 255, 10 / 255],
    [204 / 255, 240 / 255],
  ]);
  expect([0, 50, 51, 204, 205, 255].map((tone) => table[tone])).toEqual([10, 10, 10, 240, 240, 240]);
});

it("is one tone everywhere with a single pair", () => {
  expect(new Set(curveTable([[0.5, 0.2]]))).toEqual(new Set([51]));
});

it("bends smoothly, not in straight pieces", () => {
  // Secants 1.375 and 0.75, worked out by hand in bytes 0, 102, 255 → 0, 140.25, 255: the tangents are 1.375 (end),
  // 1.0625 (their mean), 0.75 (end). At 51, half-way to 102: (0 + 140.25) / 2 + 102 · (1.375 − 1.0625) / 8 = 74.1.
  const table = curveTable([
    [0, 0],
    [0.4, 0.55],
    [1, 1],
  ]);
  expect(table[51]).toBe(74);
  // At 178.5, half-way to 255: (140.25 + 255) / 2 + 153 · (1.0625 − 0.75) / 8 = 203.6; half a byte later, 203.9.
  expect(table[179]).toBe(204);
});

it("does not overshoot a sudden step", () => {
  const table = curveTable([
    [0, 0],
    [100 / 255, 0],
    [120 / 255, 1],
    [1, 1],
  ]);
  expect(new Set(table.subarray(0, 101))).toEqual(new Set([0]));
  expect(new Set(table.subarray(120))).toEqual(new Set([255]));
  expect(table[110]).toBe(128);
});

it("keeps steep tangents monotone (Fritsch & Carlson 1980)", () => {
  // Without their bound the tangent at 40, the mean of secants 1/40 and 12, would dip under the tone of the first pair.
  const table = curveTable([
    [0, 100 / 255],
    [40 / 255, 101 / 255],
    [50 / 255, 221 / 255],
  ]);
  const steps = [...table.subarray(0, 50)].map((tone, i) => table[i + 1] - tone);
  expect(Math.min(...steps)).toBeGreaterThanOrEqual(0);
});

it("draws a steep pair of tangents in to a circle of radius 3, and no further (Fritsch & Carlson 1980)", () => {
  const at = curveFunction([
    [0, 100],
    [40, 101],
    [50, 221],
  ]);
  // Secants 0.025 and 12; tangents 0.025, 6.0125 and 12 are 1 and 240.5 times the first secant, √(1² + 240.5²) in all:
  // times 3 / 240.502 they are 0.000312 and 0.075. Half-way: the middle, and an eighth of the width times their difference.
  expect(at(20)).toBeCloseTo(100.5 + (40 / 8) * (0.000312 - 0.075), 3);
  expect(at(45)).toBeCloseTo(161 + (10 / 8) * (0.075 - 12), 3);
});

const byte = fc.nat(255);
const tonesIn = fc
  .uniqueArray(byte, { minLength: 1, maxLength: 8 })
  .map((list) => list.sort((a, b) => a - b));
/** Pairs in bytes, tone in rising. */
const pairs = tonesIn.chain((xs) =>
  fc
    .array(byte, { minLength: xs.length, maxLength: xs.length })
    .map((ys) => xs.map((x, i) => [x, ys[i]] as const)),
);
const curveOf = (list: readonly (readonly [number, number])[]): Curve =>
  list.map(([x, y]) => [x / 255, y / 255] as const);

it("runs through every pair", () => {
  holds(
    fc.property(pairs, (list) => {
      const table = curveTable(curveOf(list));
      expect(list.map(([x]) => table[x])).toEqual(list.map(([, y]) => y));
    }),
    500,
  );
});

it("stays between each two neighbouring pairs, and rises or falls as they do", () => {
  holds(
    fc.property(pairs, (list) => {
      const table = curveTable(curveOf(list));
      for (const [i, [x1, y1]] of list.entries()) {
        if (i === 0) continue;
        const [x0, y0] = list[i - 1];
        const places = Array.from({ length: x1 - x0 }, (_, k) => x0 + k);
        const wrong = places.filter((x) => Math.sign(table[x + 1] - table[x]) * Math.sign(y1 - y0) < 0);
        expect(wrong).toEqual([]);
        if (y0 === y1) expect(places.filter((x) => table[x] !== y0)).toEqual([]);
      }
    }),
    500,
  );
});

it("never leaves the tones of its pairs", () => {
  holds(
    fc.property(pairs, (list) => {
      const ys = list.map(([, y]) => y);
      const table = curveTable(curveOf(list));
      expect(Math.min(...table)).toBe(Math.min(...ys));
      expect(Math.max(...table)).toBe(Math.max(...ys));
    }),
    500,
  );
});
