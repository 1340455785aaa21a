import { describe, expect, it } from "vitest";
import { deltaE00 } from "../../../server/engine/colour/ciede2000.ts";
import { labFromBytes } from "../../../server/engine/colour/cielab.ts";
import { flatColours } from "../../../server/engine/propose/flat.ts";
import type { Picture } from "../../../server/engine/raster.ts";
import { generator } from "../../logos/sent.ts";

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
    const found = flatColours(stripes(COLOURS.slice(0, k), 0), undefined)!;
    const hexes = (list: readonly (readonly number[])[]) => list.map(String).sort();
    expect(hexes(found.map(({ rgb }) => rgb))).toEqual(hexes(COLOURS.slice(0, k)));
    expect(found.reduce((sum, { share }) => sum + share, 0)).toBeCloseTo(1, 6);
  });

  it("finds them under the noise of compression", () => {
    expect(flatColours(stripes(COLOURS, 2), undefined)).toHaveLength(5);
  });

  it("has the largest first, and of two as large the darker", () => {
    const [red, blue, yellow, , white] = COLOURS as [Rgb, Rgb, Rgb, Rgb, Rgb];
    // Rows of even colour, from the top: 20 of red, 40 of white, 20 of blue, 20 of yellow; two end at the rim.
    const rows = (y: number) => (y < 21 ? red : y < 60 ? white : y < 80 ? blue : yellow);
    const found = flatColours(
      picture((_, y) => rows(y)),
      undefined,
    )!;
    expect(found[0]!.rgb).toEqual(white);
    // Lighter than red, though its number is smaller.
    const mint: Rgb = [40, 200, 180];
    for (const [left, right] of [
      [mint, red],
      [red, mint],
    ] as const) {
      const like = flatColours(
        picture((x) => (x < 64 ? left : right)),
        undefined,
      )!;
      expect(like.map(({ rgb, share }) => [rgb, share])).toEqual([
        [red, 0.5],
        [mint, 0.5],
      ]);
    }
    for (const [i, { share }] of found.entries())
      if (i > 0) expect(share).toBeLessThanOrEqual(found[i - 1]!.share);
  });

  it("finds the colour of thin lines as that of fills", () => {
    const fill = (clear: (x: number) => boolean) => {
      const drawn = picture(() => COLOURS[0]!);
      for (let i = 0; i < drawn.width * drawn.height; i++)
        if (clear(i % drawn.width)) drawn.data[4 * i + 3] = 127;
      return flatColours(drawn, undefined);
    };
    expect(fill((x) => x % 3 === 0)).toHaveLength(1);
    expect(fill((x) => x % 12 === 0)).toHaveLength(1);
  });

  it("takes the colour of strokes that are too thin for areas from their middles, not from their noise", () => {
    const random = generator(5);
    const ink: Rgb = [31, 31, 36];
    const found = flatColours(
      picture((x, y) => {
        const rgb = y < 30 ? COLOURS[0]! : x % 12 < 2 || y % 16 < 2 ? ink : ([248, 248, 248] as Rgb);
        return rgb.map((v) => Math.max(0, Math.min(255, v + 14 * (random() + random() - 1)))) as Rgb;
      }),
      [248, 248, 248],
    )!;
    const off = found.map(({ lab }) => {
      const wanted = labFromBytes(...ink);
      return deltaE00(lab.L, lab.a, lab.b, wanted.L, wanted.a, wanted.b);
    });
    expect(Math.min(...off)).toBeLessThan(1.5);
  });

  it("finds none in a gradient", () => {
    expect(
      flatColours(
        picture((x, y) => [x * 2, 255 - x, y]),
        undefined,
      ),
    ).toBeUndefined();
    expect(
      flatColours(
        picture((x) => [120 + x / 4, 120 + x / 4, 130]),
        undefined,
      ),
    ).toBeUndefined();
  });

  it("finds none where a gradient is a part of the picture", () => {
    expect(
      flatColours(
        picture((x, y) => (y < 60 ? [216, 67, 31] : [x * 2, 90, 90])),
        undefined,
      ),
    ).toBeUndefined();
  });
});

/** Upright stripes, two mixed pixels at each edge, each sample off by up to `noise`, in a pattern of its own. */
function stripes(colours: readonly Rgb[], noise: number): Picture {
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

function picture(at: (x: number, y: number) => Rgb): Picture {
  const [width, height] = [128, 100];
  const data = new Uint8Array(width * height * 4);
  for (let y = 0; y < height; y++)
    for (let x = 0; x < width; x++) data.set([...at(x, y).map(Math.round), 255], (y * width + x) * 4);
  return { width, height, data };
}
