import { describe, expect, it } from "vitest";
import { type Lab, labFromBytes } from "../../../server/engine/colour/cielab.ts";
import { isGreyscale, picturesColours } from "../../../server/engine/propose/colours.ts";
import { random } from "../../property.ts";
import { type Pixel, pictureOf } from "../pictures.ts";

const all = (pixels: readonly Pixel[], most: number, kept = new Uint8Array(pixels.length).fill(1)) =>
  picturesColours(pictureOf(pixels.length, pixels), kept, most);
const times = <T>(count: number, of: T): T[] => Array(count).fill(of);

const RED: Pixel = [200, 30, 40];
const BLUE: Pixel = [20, 60, 180];

describe("a picture's colours", () => {
  it("are its own where they are few, the largest first", () => {
    const found = all([...times(3, RED), ...times(5, BLUE)], 4);
    expect(found.map(({ weight }) => weight)).toEqual([5 / 8, 3 / 8]);
    for (const [i, [r, g, b]] of [BLUE, RED].entries()) {
      const { L, a, b: blue } = labFromBytes(r, g, b);
      expect(found[i].lab.L).toBeCloseTo(L, 2);
      expect(found[i].lab.a).toBeCloseTo(a, 2);
      expect(found[i].lab.b).toBeCloseTo(blue, 2);
    }
  });

  it("are the darker first where two are as large", () => {
    const found = all([...times(3, RED), ...times(3, BLUE)], 4);
    expect(found[0].lab.L).toBeLessThan(found[1].lab.L);
  });

  it("are means of eight steps of a byte each way", () => {
    // 40 to 47 are one cell, 48 is the next.
    const found = all([...times(2, [40, 40, 40] as const), [47, 44, 42], [48, 40, 40]], 4);
    expect(found.map(({ weight }) => weight)).toEqual([0.75, 0.25]);
    // (40 + 40 + 47) / 3 = 42.3, and so on.
    expect(found[0].lab.L).toBeCloseTo(labFromBytes(42, 41, 41).L, 2);
  });

  it("are of what prints and covers at least half", () => {
    const pixels: Pixel[] = [
      RED,
      [...BLUE.slice(0, 3), 127] as unknown as Pixel,
      [20, 60, 180, 128],
      [0, 255, 0],
    ];
    const found = all(pixels, 4, Uint8Array.of(1, 1, 1, 0));
    expect(found.map(({ weight }) => weight)).toEqual([0.5, 0.5]);
    expect(all(pixels, 4, new Uint8Array(4))).toEqual([]);
  });

  it("are seen however rare", () => {
    const found = all([...times(9999, BLUE), RED], 4);
    expect(found.map(({ weight }) => weight)).toEqual([0.9999, 0.0004]);
  });

  it("are gathered where they are more, each the mean of those nearest to it", () => {
    const next = random(41);
    const heaps: [number, number, number][] = [
      [60, 60, 60],
      [200, 60, 60],
      [60, 200, 60],
      [200, 200, 60],
    ];
    // Cells of eight steps, each a pixel, so that cells and pixels are the same.
    const pixels = heaps.flatMap(([r, g, b]) =>
      Array.from({ length: 40 }, (): Pixel => {
        const near = (v: number) => 8 * Math.round((v + 30 * (next() - 0.5)) / 8) + 4;
        return [near(r), near(g), near(b)];
      }),
    );
    const found = all(pixels, 4);
    expect(found).toHaveLength(4);
    expect(found.reduce((sum, { weight }) => sum + weight, 0)).toBeCloseTo(1, 9);
    const labs = pixels.map(([r, g, b]) => labFromBytes(r, g, b));
    const far = (p: Lab, q: Lab) => (p.L - q.L) ** 2 + (p.a - q.a) ** 2 + (p.b - q.b) ** 2;
    for (const { lab, weight } of found) {
      const own = labs.filter((at) => found.every((other) => far(at, lab) <= far(at, other.lab)));
      expect(own.length / labs.length).toBeCloseTo(weight, 9);
      for (const key of ["L", "a", "b"] as const)
        expect(own.reduce((sum, at) => sum + at[key], 0) / own.length).toBeCloseTo(lab[key], 2);
    }
  });

  it("keep one of their own for what is rare and far from all others", () => {
    const next = random(42);
    const greys = Array.from({ length: 3000 }, (): Pixel => {
      const grey = Math.floor(60 + 120 * next());
      return [grey, grey, grey];
    });
    const found = all([...greys, ...times(4, RED)], 4);
    const red = labFromBytes(RED[0], RED[1], RED[2]);
    expect(Math.min(...found.map(({ lab }) => Math.abs(lab.a - red.a)))).toBeLessThan(1);
  });
});

describe("greyscale", () => {
  const of = (...weighted: [chroma: number, weight: number][]) =>
    isGreyscale(weighted.map(([a, weight]) => ({ lab: { L: 50, a, b: 0 }, weight })));

  it("is what has no colour, but for a hair", () => {
    expect(of([0, 1])).toBe(true);
    expect(of([6, 1])).toBe(true);
    expect(of([-7, 1])).toBe(false);
    expect(of([0, 2], [30, 0.004])).toBe(true);
    expect(of([0, 2], [30, 0.005])).toBe(false);
    expect(isGreyscale([])).toBe(true);
  });
});
