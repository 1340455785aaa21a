import { describe, expect, it } from "vitest";
import { DotOverlap, levelsOf, SIDE, STEPS, symmetryOf } from "../../../server/engine/print/dot-overlap.ts";
import { type DotName, spotFunction } from "../../../server/engine/screen/spot-functions.ts";

const TONES = Array.from({ length: 21 }, (_, i) => i / 20);

it("is the lesser tone where nothing is blurred", () => {
  const overlap = new DotOverlap("round", 0);
  for (const a of TONES) for (const t of TONES) expect(overlap.at(a, t)).toBe(Math.min(a, t));
});

it.each([
  ["round", 0.05],
  ["ellipse", 0.1],
  ["line", 0.2],
  ["square", 0.03],
] as const)(
  "of %s dots, register %s, is symmetric, grows with both tones, and lies between chance and nesting",
  (dot, register) => {
    const overlap = new DotOverlap(dot, register);
    for (const a of TONES) {
      expect(overlap.at(a, 0)).toBe(0);
      // What a whole cell shares with a dot is the dot.
      expect(overlap.at(a, 1)).toBeCloseTo(a, 3);
      let before = 0;
      for (const t of TONES) {
        const here = overlap.at(a, t);
        expect(here).toBeCloseTo(overlap.at(t, a), 6);
        expect(here).toBeGreaterThanOrEqual(before - 1e-7);
        expect(here).toBeLessThanOrEqual(Math.min(a, t) + 1e-6);
        expect(here).toBeGreaterThanOrEqual(a * t - 0.003);
        before = here;
      }
    }
  },
);

it("comes to chance where the register is as wide as the cell", () => {
  const overlap = new DotOverlap("round", 0.5);
  for (const a of TONES)
    for (const t of TONES) expect(Math.abs(overlap.at(a, t) - a * t)).toBeLessThan(0.002);
});

it("of lines is what one dimension gives", () => {
  // Two lines of half the pitch, one blurred by a Gaussian: 1/4 + Σ over odd k of 2 / (π k)² · exp(−2 π² k² σ²).
  const register = 0.1;
  const sigma = register * (0.84 + 0.65 * register);
  let expected = 0.25;
  for (let k = 1; k < 20; k += 2)
    expected += (2 / (Math.PI * k) ** 2) * Math.exp(-2 * (Math.PI * k * sigma) ** 2);
  expect(new DotOverlap("line", register).at(0.5, 0.5)).toBeCloseTo(expected, 3);
});

// By the formulas of ISO 32000-1:2008, table 128: sums of even terms in x and y alike, or in each, or odd ones.
it.each([
  [90, ["round", "square", "SimpleDot", "InvertedSimpleDot", "CosineDot", "Round", "Square", "Cross"]],
  [180, ["line", "ellipse", "Line", "Ellipse", "EllipseA", "EllipseB", "EllipseC", "Rhomboid", "Diamond"]],
  [360, ["DoubleDot", "InvertedDoubleDot", "Double", "InvertedDouble", "LineX", "LineY"]],
] as [number, DotName[]][])("after %d° and no less these dots are the same: %j", (turn, dots) => {
  expect(dots.map(symmetryOf)).toEqual(dots.map(() => turn));
});

describe("the steps in which a cell turns to ink", () => {
  it.each(["round", "ellipse", "Rhomboid", "Double"] as const)(
    "of %s go down its spot function, as many places each",
    (dot) => {
      const spot = spotFunction(dot);
      const levels = levelsOf(dot);
      const of = Array.from({ length: STEPS }, (): number[] => []);
      // A place's middle; rows run downwards, y upwards.
      for (const [at, level] of levels.entries())
        of[level].push(spot(((at % SIDE) + 0.5 - 32) / 32, (32 - Math.floor(at / SIDE) - 0.5) / 32));
      expect(new Set(of.map(({ length }) => length))).toEqual(new Set([SIDE ** 2 / STEPS]));
      const above = of.slice(1).filter((values, k) => Math.max(...values) > Math.min(...of[k]) + 1e-6);
      expect(above).toEqual([]);
    },
  );

  it("are spread along a line, whose places are all alike", () => {
    // Sixteen of the two rows in the middle, some in each half of the cell.
    const first = [...levelsOf("line").entries()].filter(([, level]) => level === 0).map(([at]) => at);
    expect(new Set(first.map((at) => Math.floor(at / SIDE)))).toEqual(new Set([31, 32]));
    const left = first.filter((at) => at % SIDE < SIDE / 2).length;
    expect(Math.abs(left - 8)).toBeLessThanOrEqual(4);
  });
});
