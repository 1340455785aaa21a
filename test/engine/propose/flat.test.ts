import { describe, expect, it } from "vitest";
import { deltaE00 } from "../../../server/engine/colour/ciede2000.ts";
import { labFromBytes } from "../../../server/engine/colour/cielab.ts";
import { type FlatColour, flatColours } from "../../../server/engine/propose/flat.ts";
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
    for (const of of bothWays(stripes(COLOURS.slice(0, k), 0))) areExactly(flatColours(of, undefined)!, k);
  });

  const areExactly = (found: readonly FlatColour[], k: number) => {
    const hexes = (list: readonly (readonly number[])[]) => list.map(String).sort();
    expect(hexes(found.map(({ rgb }) => rgb))).toEqual(hexes(COLOURS.slice(0, k)));
    expect(found.reduce((sum, { share }) => sum + share, 0)).toBeCloseTo(1, 6);
  };

  it("finds them under the noise of compression", () => {
    for (const of of bothWays(stripes(COLOURS, 2))) expect(flatColours(of, undefined)).toHaveLength(5);
  });

  it("takes no line of a mixture between two areas for a colour, whichever way it runs", () => {
    const [red, , , , white] = COLOURS as [Rgb, Rgb, Rgb, Rgb, Rgb];
    const half = red.map((v, c) => Math.round((v + white[c]!) / 2)) as Rgb;
    const edged = picture((x) => (x < 40 ? red : x === 40 ? half : x < 90 ? white : x === 90 ? half : red));
    for (const of of bothWays(edged)) areSet(flatColours(of, undefined)!, [red, white]);
    // By itself it is one.
    const own = picture((x) => (x < 40 ? red : x < 60 ? white : x < 70 ? half : white));
    for (const of of bothWays(own)) areSet(flatColours(of, undefined)!, [red, half, white]);
  });

  it("keeps the colour of a thin line that no two beside it make", () => {
    const [red, blue, , , white] = COLOURS as [Rgb, Rgb, Rgb, Rgb, Rgb];
    const lined = picture((x) => (x < 40 ? red : x === 64 ? blue : white));
    for (const of of bothWays(lined)) areSet(flatColours(of, undefined)!, [red, blue, white]);
  });

  it("takes two fills for one colour where they are all but alike", () => {
    const green: Rgb = [60, 140, 70];
    const beside = (by: number): Rgb => [60 + by, 140 + by, 70 + by];
    const off = (by: number) => {
      const [p, q] = [labFromBytes(...green), labFromBytes(...beside(by))];
      return deltaE00(p.L, p.a, p.b, q.L, q.a, q.b);
    };
    const [alike, apart] = [
      [...Array(40).keys()].findLast((by) => off(by) <= 4)!,
      [...Array(40).keys()].find((by) => off(by) > 4.3)!,
    ];
    const of = (by: number) =>
      flatColours(
        picture((x) => (x < 80 ? green : beside(by))),
        undefined,
      )!;
    // What the drawing has exactly, not a mean of both.
    expect(of(alike).map(({ rgb }) => rgb)).toEqual([green]);
    expect(of(apart)).toHaveLength(2);
  });

  const areSet = (found: readonly FlatColour[], colours: readonly Rgb[]) =>
    expect(found.map(({ rgb }) => String(rgb)).sort()).toEqual(colours.map(String).sort());

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

  it("has the largest first by its pixels, though another has more that is even", () => {
    const [red, blue, , , white] = COLOURS as [Rgb, Rgb, Rgb, Rgb, Rgb];
    // Blue in a block of 30 × 100, red in eight stripes of 5 × 100.
    const art = picture((x) => (x < 30 ? blue : x >= 35 && x < 115 && (x - 35) % 10 < 5 ? red : white));
    for (const of of bothWays(art))
      expect(flatColours(of, undefined)!.map(({ rgb }) => rgb)).toEqual([white, red, blue]);
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

  it("finds none in noise, none in what is clear, and one in what is one", () => {
    const next = generator(9);
    const noise = picture(() => [255 * next(), 255 * next(), 255 * next()]);
    expect(flatColours(noise, undefined)).toBeUndefined();
    const clear = picture(() => [0, 0, 0]);
    clear.data.fill(0);
    expect(flatColours(clear, undefined)).toBeUndefined();
    expect(flatColours(clear, [255, 255, 255])).toBeUndefined();
    expect(
      flatColours(
        picture(() => [90, 90, 200]),
        undefined,
      ),
    ).toEqual([{ rgb: [90, 90, 200], lab: labFromBytes(90, 90, 200), share: 1 }]);
  });

  it("finds up to twelve colours, beside the page's", () => {
    const many = Array.from(
      { length: 15 },
      (_, i): Rgb => [(i * 83) % 256, (i * 149 + 40) % 256, (i * 59 + 90) % 256],
    );
    const of = (k: number, page?: Rgb) =>
      flatColours(
        picture((x, y) => (page && y < 20 ? page : many[Math.floor((x * k) / 128)]!)),
        page,
      );
    areSet(of(12)!, many.slice(0, 12));
    expect(of(15)).toBeUndefined();
    const white: Rgb = [255, 255, 255];
    areSet(of(12, white)!, [white, ...many.slice(0, 12)]);
  });

  describe("on a white page", () => {
    const white: Rgb = [255, 255, 255];
    const red: Rgb = [216, 67, 31];
    /** A red square of 30 × 30 pixels, and whatever is beside it. */
    const drawn = (beside: (x: number, y: number) => Rgb | undefined) =>
      flatColours(
        picture((x, y) => (x >= 20 && x < 50 && y >= 20 && y < 50 ? red : (beside(x, y) ?? white))),
        white,
      );

    it("bears a few pixels that are no colour of the art, and no more than an eighth of what is drawn", () => {
      areSet(drawn((x, y) => (y === 70 && x % 25 === 10 ? [40, 160, (x * 7) % 255] : undefined))!, [
        red,
        white,
      ]);
      // Twelve by thirty of a gradient: under 3 % of the page.
      const gradient = (x: number, y: number): Rgb | undefined =>
        x >= 70 && x < 82 && y >= 20 && y < 50 ? [20 * (x - 70), 8 * (y - 20), 120] : undefined;
      expect(drawn(gradient)).toBeUndefined();
    });

    it("finds what is drawn in lines and in fills", () => {
      const blue: Rgb = [32, 96, 192];
      for (const line of [
        (x: number, y: number) => (y === 70 && x > 10 && x < 110 ? blue : undefined),
        (x: number, y: number) => (x === 90 && y > 10 && y < 90 ? blue : undefined),
        (x: number, y: number) => (x - y === 40 && y > 5 && y < 85 ? blue : undefined),
        (x: number, y: number) => (x + y === 150 && y > 25 && y < 95 ? blue : undefined),
      ])
        areSet(drawn(line)!, [red, blue, white]);
    });

    it("names the page where art covers nearly all of it", () => {
      const found = flatColours(
        picture((x, y) => (y < 50 ? red : x === 127 ? white : [32, 96, 192])),
        white,
      )!;
      expect(found.map(({ rgb }) => String(rgb))).toContain(String(white));
    });
  });

  it("finds the colours of compressed art whose edges are soft, whichever way they run", () => {
    const next = generator(12);
    const [red, blue, yellow, , white] = COLOURS as [Rgb, Rgb, Rgb, Rgb, Rgb];
    const soft = (t: number) => Math.max(0, Math.min(1, t));
    // Over six pixels from one to the next, with grain of up to 3 steps of a byte.
    const edged = picture((x, y) => {
      const [left, right] = y < 50 ? [red, white] : [blue, yellow];
      const t = soft((x - 61) / 6);
      return left.map((v, c) => v + t * (right[c]! - v) + 6 * (next() - 0.5)) as Rgb;
    });
    for (const of of bothWays(edged)) {
      const found = flatColours(of, undefined)!;
      expect(found).toHaveLength(4);
      for (const wanted of [red, blue, yellow, white]) {
        const { L, a, b } = labFromBytes(...wanted);
        expect(Math.min(...found.map(({ lab }) => deltaE00(lab.L, lab.a, lab.b, L, a, b)))).toBeLessThan(1.5);
      }
    }
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

/** A picture as it is, and with its rows for columns. */
function bothWays(of: Picture): Picture[] {
  const { width, height } = of;
  const data = new Uint8Array(of.data.length);
  for (let y = 0; y < height; y++)
    for (let x = 0; x < width; x++) {
      const at = 4 * (y * width + x);
      data.set(of.data.subarray(at, at + 4), 4 * (x * height + y));
    }
  return [of, { width: height, height: width, data }];
}

function picture(at: (x: number, y: number) => Rgb): Picture {
  const [width, height] = [128, 100];
  const data = new Uint8Array(width * height * 4);
  for (let y = 0; y < height; y++)
    for (let x = 0; x < width; x++) data.set([...at(x, y).map(Math.round), 255], (y * width + x) * 4);
  return { width, height, data };
}
