import { describe, expect, it } from "vitest";
import { deltaE00 } from "../../../server/engine/colour/ciede2000.ts";
import { labFromBytes } from "../../../server/engine/colour/cielab.ts";
import { flatColours } from "../../../server/engine/propose/flat.ts";
import { flatRanges } from "../../../server/engine/propose/flat-ranges.ts";
import type { Picture } from "../../../server/engine/raster.ts";

type Rgb = [number, number, number];
const COLOURS: Rgb[] = [
  [216, 67, 31],
  [32, 96, 192],
  [250, 214, 60],
  [20, 20, 22],
  [248, 248, 244],
];

describe("flatColours", () => {
  it.each([1, 2, 3, 5])("finds exactly the %i colours of flat art, its antialiased edges ignored", (k) => {
    const found = flatColours(...stripes(COLOURS.slice(0, k), 0))!;
    const hexes = (list: readonly (readonly number[])[]) => list.map(String).sort();
    expect(hexes(found.map(({ rgb }) => rgb))).toEqual(hexes(COLOURS.slice(0, k)));
    expect(found.reduce((sum, { share }) => sum + share, 0)).toBeCloseTo(1, 6);
  });

  it("finds them under the noise of compression", () => {
    expect(flatColours(...stripes(COLOURS, 2))).toHaveLength(5);
  });

  it("has the largest first, and of two as large the darker", () => {
    const [red, blue, yellow, , white] = COLOURS as [Rgb, Rgb, Rgb, Rgb, Rgb];
    // Rows of even colour, from the top: 20 of red, 40 of white, 20 of blue, 20 of yellow; two end at the rim.
    const rows = (y: number) => (y < 21 ? red : y < 60 ? white : y < 80 ? blue : yellow);
    const found = flatColours(...picture((_, y) => rows(y)))!;
    expect(found[0]!.rgb).toEqual(white);
    // Lighter than red, though its number is smaller.
    const mint: Rgb = [40, 200, 180];
    for (const [left, right] of [
      [mint, red],
      [red, mint],
    ] as const) {
      const like = flatColours(...picture((x) => (x < 64 ? left : right)))!;
      expect(like.map(({ rgb, share }) => [rgb, share])).toEqual([
        [red, 0.5],
        [mint, 0.5],
      ]);
    }
    for (const [i, { share }] of found.entries())
      if (i > 0) expect(share).toBeLessThanOrEqual(found[i - 1]!.share);
  });

  it("finds none in hairlines: what stands beside nothing is no fill", () => {
    const fill = (clear: (x: number) => boolean) => {
      const [drawn, kept] = picture(() => COLOURS[0]!);
      for (let i = 0; i < kept.length; i++) if (clear(i % drawn.width)) drawn.data[4 * i + 3] = 127;
      return flatColours(drawn, kept);
    };
    expect(fill((x) => x % 3 === 0)).toBeUndefined();
    expect(fill((x) => x % 12 === 0)).toHaveLength(1);
  });

  it("finds none in a gradient", () => {
    expect(flatColours(...picture((x, y) => [x * 2, 255 - x, y]))).toBeUndefined();
    expect(flatColours(...picture((x) => [120 + x / 4, 120 + x / 4, 130]))).toBeUndefined();
  });

  it("finds none where a gradient is a part of the picture", () => {
    expect(flatColours(...picture((x, y) => (y < 60 ? [216, 67, 31] : [x * 2, 90, 90])))).toBeUndefined();
  });
});

describe("flatRanges", () => {
  const labs = COLOURS.map((rgb) => labFromBytes(...rgb));
  const mixtures = COLOURS.flatMap((a, i) =>
    COLOURS.slice(i + 1).flatMap((b) =>
      Array.from({ length: 20 }, (_, k) => ({
        lab: labFromBytes(...(a.map((v, c) => Math.round(v + (k / 20) * (b[c]! - v))) as Rgb)),
        weight: 1,
      })),
    ),
  );
  const ranges = flatRanges(labs, labs.length, [...labs.map((lab) => ({ lab, weight: 1000 })), ...mixtures]);

  it("hold their own colour and no other", () => {
    for (const [i, p] of labs.entries()) for (const [j] of labs.entries()) expect(holds(j, p)).toBe(i === j);
  });

  it("give nine of ten mixtures of two colours to the colour that they are nearest to, and to no other", () => {
    const wrong = mixtures.filter(({ lab: p }) => ranges.some((_, i) => holds(i, p) !== (nearest(p) === i)));
    expect(wrong.length / mixtures.length).toBeLessThan(0.1);
  });

  function nearest(p: { L: number; a: number; b: number }): number {
    const far = labs.map((q) => deltaE00(p.L, p.a, p.b, q.L, q.a, q.b));
    return far.indexOf(Math.min(...far));
  }

  function holds(i: number, p: { L: number; a: number; b: number }): boolean {
    const far = (j: number) => deltaE00(p.L, p.a, p.b, labs[j]!.L, labs[j]!.a, labs[j]!.b);
    const { within, except } = ranges[i]!;
    return far(i) <= within && except.every((other) => far(other.colour) > other.within);
  }
});

/** Upright stripes, two mixed pixels at each edge, each sample off by up to `noise`, in a pattern of its own. */
function stripes(colours: readonly Rgb[], noise: number): [Picture, Uint8Array] {
  const wide = 128 / colours.length;
  return picture((x, y) => {
    const i = Math.min(colours.length - 1, Math.floor(x / wide));
    const next = colours[Math.min(colours.length - 1, i + 1)]!;
    const into = x - i * wide;
    const t = i < colours.length - 1 && into > wide - 2 ? (into - wide + 2) / 3 : 0;
    const off = ((x * 7 + y * 13) % (2 * noise + 1)) - noise;
    return colours[i]!.map((v, c) => Math.max(0, Math.min(255, v + t * (next[c]! - v) + off))) as Rgb;
  });
}

function picture(at: (x: number, y: number) => Rgb): [Picture, Uint8Array] {
  const [width, height] = [128, 100];
  const data = new Uint8Array(width * height * 4);
  for (let y = 0; y < height; y++)
    for (let x = 0; x < width; x++) data.set([...at(x, y).map(Math.round), 255], (y * width + x) * 4);
  return [{ width, height, data }, new Uint8Array(width * height).fill(1)];
}
