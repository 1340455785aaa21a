import { expect, it } from "vitest";
import { labFromBytes } from "../../../server/engine/colour/cielab.ts";
import { ColourTable } from "../../../server/engine/extract/colour-table.ts";
import { extractPlates } from "../../../server/engine/extract/extract.ts";
import { LabColumns } from "../../../server/engine/extract/lab-columns.ts";
import { Membership } from "../../../server/engine/extract/membership.ts";
import { paletteOf, solvedOfPalette } from "../../../server/engine/extract/palette.ts";
import type { Extraction, PlatePlan, Strength } from "../../../server/engine/plan.ts";
import type { Picture } from "../../../server/engine/raster.ts";
import { BLACK, CLEAR, MIDDLE, type Pixel, pictureOf, RED, WHITE } from "../pictures.ts";

const ARTWORK: Extraction = { by: "artwork" };
const FLAT: Strength = { by: "flat" };

function plate(extract: Extraction, strength: Strength = FLAT): PlatePlan {
  return { name: "plate", extract, strength };
}

function extract(picture: Picture, plates: readonly PlatePlan[]): number[][] {
  const tones = plates.map(() => new Uint8Array(picture.width * picture.height));
  for (const _ of extractPlates(picture, plates, tones, new ColourTable(plates.length)));
  return tones.map((map) => [...map]);
}

const tonesOf = (picture: Picture, extraction: Extraction, strength: Strength = FLAT): number[] =>
  extract(picture, [plate(extraction, strength)])[0];

it("prints members solid where strength is flat", () => {
  const light: Extraction = { by: "lightness", from: 40, to: 100, fade: 0 };
  expect(tonesOf(pictureOf(2, [WHITE, BLACK, MIDDLE, RED]), light)).toEqual([255, 0, 255, 255]);
});

it("prints by lightness and by darkness, which add up to solid", () => {
  // Grey 119: linear light 0.18447, L* = 116 · 0.18447^⅓ − 16 = 50.034; 255 · 0.50034 = 127.6.
  const picture = pictureOf(3, [WHITE, MIDDLE, BLACK]);
  expect(tonesOf(picture, ARTWORK, { by: "lightness" })).toEqual([255, 128, 0]);
  expect(tonesOf(picture, ARTWORK, { by: "darkness" })).toEqual([0, 127, 255]);
});

it("prints by chroma, solid from the ink's own chroma on", () => {
  // #ff0000 has a* 80.8049, b* 69.8910 (CIE 15, Bradford adaptation): C*ab 106.837; 255 · 106.837 / 160 = 170.3.
  const picture = pictureOf(3, [RED, MIDDLE, WHITE]);
  expect(tonesOf(picture, ARTWORK, { by: "chroma", full: 160 })).toEqual([170, 0, 0]);
  expect(tonesOf(picture, ARTWORK, { by: "chroma", full: 100 })).toEqual([255, 0, 0]);
});

it("prints by curves over lightness and chroma, multiplied, which hold beyond their ends", () => {
  // L* 50.034 of grey 119 and C*ab 106.837 of red as above; red has L* 54.292.
  const lightness = [
    [50.034, 0.4],
    [54.292, 0.8],
    [90, 0.1],
  ] as const;
  const chroma = [
    [0, 0.5],
    [106.837, 1],
  ] as const;
  const picture = pictureOf(4, [WHITE, MIDDLE, RED, BLACK]);
  // 255 · 0.1, 0.4, 0.8 and 0.4; then half of them where there is no chroma, and all of red's.
  expect(tonesOf(picture, ARTWORK, { by: "curves", lightness })).toEqual([26, 102, 204, 102]);
  expect(tonesOf(picture, ARTWORK, { by: "curves", chroma })).toEqual([128, 128, 255, 128]);
  expect(tonesOf(picture, ARTWORK, { by: "curves", lightness, chroma })).toEqual([13, 51, 204, 51]);
});

it("prints less where the artwork is less opaque", () => {
  const picture = pictureOf(3, [
    [255, 0, 0, 128],
    [119, 119, 119, 128],
    [255, 255, 255, 1],
  ]);
  expect(tonesOf(picture, ARTWORK)).toEqual([128, 128, 1]);
  expect(tonesOf(picture, ARTWORK, { by: "darkness" })[2]).toBe(0);
  // 128 · 0.50034 = 64.04
  expect(tonesOf(picture, ARTWORK, { by: "lightness" })[1]).toBe(64);
});

it("multiplies membership, strength and opacity", () => {
  // Grey 119 lies 9.966 of a fade of 20 below 60: t = 0.4983, membership 1 − t²(3 − 2t) = 0.50255.
  // Flat: 255 · 0.50255 = 128.2; by lightness: 128.15 · 0.50034 = 64.1; at opacity 128: 128 · 0.25145 = 32.2.
  const light: Extraction = { by: "lightness", from: 60, to: 100, fade: 20 };
  const picture = pictureOf(2, [MIDDLE, [119, 119, 119, 128]]);
  expect(tonesOf(picture, light)).toEqual([128, 64]);
  expect(tonesOf(picture, light, { by: "lightness" })).toEqual([64, 32]);
});

it("prints nothing where the artwork is clear, whatever colour hides there", () => {
  const picture = pictureOf(2, [CLEAR, [0, 0, 0, 0]]);
  const tones = extract(picture, [
    plate(ARTWORK),
    plate({ by: "except", of: { by: "lightness", from: 0, to: 1, fade: 0 } }),
    plate({ by: "opacity", from: 0, to: 100, fade: 0 }, { by: "darkness" }),
  ]);
  expect(tones).toEqual([
    [0, 0],
    [0, 0],
    [0, 0],
  ]);
});

it("asks no print for tones of what is clear", () => {
  const asked: number[] = [];
  const solved = {
    bytes: 0,
    solves: () => true,
    write: (_r: number, _g: number, _b: number, alpha: number, out: Float64Array) => {
      asked.push(alpha);
      out.fill(1);
    },
  };
  const plates = [plate(ARTWORK)];
  const picture = pictureOf(3, [CLEAR, [200, 10, 10, 0], [200, 10, 10, 1]]);
  const tones = new Uint8Array(3);
  for (const _ of extractPlates(picture, plates, [tones], new ColourTable(1), solved));
  expect([...tones]).toEqual([0, 0, 255]);
  expect([...solvedOfPalette(paletteOf(picture), solved, 1)].sort()).toEqual([0, 0, 255]);
  expect(asked).toEqual([1, 1]);
});

it("gives solved plates the tones that the print asks for, and others theirs", () => {
  const picture = pictureOf(3, [RED, [10, 20, 30, 40], [0, 200, 100], RED, MIDDLE, CLEAR]);
  const solved = {
    bytes: 0,
    solves: (p: number) => p !== 1,
    write: (r: number, g: number, b: number, alpha: number, out: Float64Array) => {
      out.set([(r + 2 * g + 3 * b) / 1530, 0.5, alpha / 255]);
    },
  };
  const plates = [plate(ARTWORK), plate(ARTWORK, { by: "darkness" }), plate(ARTWORK)];
  const tones = plates.map(() => new Uint8Array(6));
  for (const _ of extractPlates(picture, plates, tones, new ColourTable(3), solved));
  // (r + 2 g + 3 b) / 6: 42.5, 140 / 6, 700 / 6 and 119.
  const wanted = [
    [43, 23, 117, 43, 119, 0],
    tonesOf(picture, ARTWORK, { by: "darkness" }),
    [255, 40, 255, 255, 255, 0],
  ];
  expect(tones.map((map) => [...map])).toEqual(wanted);
  const palette = paletteOf(picture);
  const values = solvedOfPalette(palette, solved, 3);
  const ofPlate = (p: number) =>
    [...palette.entries].map((entry) => values[p * palette.colours.length + entry]);
  expect([0, 1, 2].map(ofPlate)).toEqual([wanted[0], [0, 0, 0, 0, 0, 0], wanted[2]]);
  expect(values).toHaveLength(3 * 5);
});

it("prints the squares of its ink where the picture was separated by an index", () => {
  const picture = { ...pictureOf(4, [RED, RED, WHITE, BLACK]), squares: Uint8Array.of(1, 0, 2, 1) };
  const plates = [
    plate(ARTWORK, { by: "index", colour: 1 }),
    plate(ARTWORK),
    plate(ARTWORK, { by: "index", colour: 2 }),
  ];
  expect(extract(picture, plates)).toEqual([
    [255, 0, 0, 255],
    [255, 255, 255, 255],
    [0, 0, 255, 0],
  ]);
  // Without the squares there is nothing.
  expect(extract(pictureOf(4, [RED, RED, WHITE, BLACK]), plates)[0]).toEqual([0, 0, 0, 0]);
});

it("takes each opacity that stands on a range's end", () => {
  // 20, 40, 60, 80, 100 % are exact in 8 bits: 51, 102, 153, 204, 255.
  const alphas = [51, 102, 153, 204, 255];
  for (const [i, alpha] of alphas.entries()) {
    const percent = 20 * (i + 1);
    const picture = pictureOf(1, [[255, 255, 255, alpha]]);
    expect(tonesOf(picture, { by: "opacity", from: 0, to: percent, fade: 0 }), `up to ${percent} %`).toEqual([
      alpha,
    ]);
    expect(tonesOf(picture, { by: "opacity", from: percent, to: 100, fade: 0 }), `from ${percent} %`).toEqual(
      [alpha],
    );
  }
});

it("takes a flat colour by its own hex, with no distance at all", () => {
  const flats: Pixel[] = [
    [216, 67, 31],
    [123, 128, 136],
    [28, 22, 15],
    [248, 248, 244],
  ];
  for (const [i, [r, g, b]] of flats.entries()) {
    const itself: Extraction = { by: "near", colour: labFromBytes(r, g, b), within: 0, fade: 0 };
    expect(tonesOf(pictureOf(4, flats), itself)).toEqual(flats.map((_, k) => (k === i ? 255 : 0)));
  }
});

it("takes white and black on the ends of the range of lightness", () => {
  const picture = pictureOf(2, [WHITE, BLACK]);
  expect(tonesOf(picture, { by: "lightness", from: 100, to: 100, fade: 0 })).toEqual([255, 0]);
  expect(tonesOf(picture, { by: "lightness", from: 0, to: 0, fade: 0 })).toEqual([0, 255]);
});

const MIXED: readonly PlatePlan[] = [
  plate({ by: "hue", from: 350, to: 50, fade: 40 }, { by: "chroma", full: 90 }),
  plate({ by: "lightness", from: 20, to: 70, fade: 15 }, { by: "darkness" }),
  plate({ by: "near", colour: { L: 60, a: -20, b: 30 }, within: 10, fade: 25 }),
];

/** A pixel's tone from its colour alone. */
function alone({ extract: extraction, strength }: PlatePlan, [r, g, b, alpha]: readonly number[]): number {
  const colours = new LabColumns(1);
  colours.setRgba(0, r, g, b, alpha);
  const [L, A, B] = [colours.L[0], colours.a[0], colours.b[0]];
  const member = new Membership(extraction).one(colours);
  const strong = {
    match: 1,
    solve: 1,
    index: 0,
    flat: 1,
    lightness: L / 100,
    darkness: 1 - L / 100,
    chroma: Math.min(1, Math.hypot(A, B) / ("full" in strength ? strength.full : 1)),
    curves: Number.NaN,
  }[strength.by];
  return Math.round(member * Math.max(0, strong) * alpha);
}

it("gives artwork with more colours than it remembers the tones of each pixel alone", () => {
  // 40,000 colours, no two alike, then the first ones again, with room for 32,768: the memory is emptied on the way.
  const distinct = 40_000;
  const [width, height] = [200, 205];
  const data = new Uint8Array(width * height * 4);
  for (let i = 0; i < width * height; i++) {
    const code = Math.imul(i % distinct, 0x9e3779b1) & 0xffffff;
    data.set([code & 255, (code >> 8) & 255, code >> 16, 255 - (i % 3)], i * 4);
  }
  const tones = MIXED.map(() => new Uint8Array(width * height));
  const table = new ColourTable(MIXED.length, 1 << 15);
  for (const _ of extractPlates({ width, height, data }, MIXED, tones, table));
  const wrong = MIXED.map((plan, p) =>
    tones[p].findIndex((tone, i) => tone !== alone(plan, [...data.subarray(i * 4, i * 4 + 4)])),
  );
  expect(wrong).toEqual([-1, -1, -1]);
});

it("gives each plate the tones it has without the others", () => {
  const picture = pictureOf(3, [RED, MIDDLE, [90, 160, 90], [200, 120, 40, 77], WHITE, BLACK]);
  expect(extract(picture, MIXED)).toEqual(MIXED.map((plan) => extract(picture, [plan])[0]));
});

it("tells how far it is, rising to 1", () => {
  const [width, height] = [300, 200];
  const data = new Uint8Array(width * height * 4).fill(200);
  const tones = [new Uint8Array(width * height)];
  const shares = [...extractPlates({ width, height, data }, [plate(ARTWORK)], tones, new ColourTable(1))];
  expect(shares.length).toBeGreaterThan(2);
  expect(shares).toEqual([...new Set(shares)].sort((a, b) => a - b));
  expect(shares.at(-1)).toBe(1);
});

const unaligned = [RED, MIDDLE, WHITE, BLACK];
const bytes = pictureOf(2, unaligned).data;

it.each([1, 2, 3, 5])(
  "reads pixels, of a Node buffer too, that begin %d bytes off a word in memory",
  (off) => {
    const wanted = tonesOf(pictureOf(2, unaligned), ARTWORK, { by: "lightness" });
    // A Buffer is a Uint8Array whose `slice` does not copy.
    for (const room of [new Uint8Array(bytes.length + off), Buffer.alloc(bytes.length + off)]) {
      const data = room.subarray(off);
      data.set(bytes);
      expect(tonesOf({ width: 2, height: 2, data }, ARTWORK, { by: "lightness" })).toEqual(wanted);
    }
  },
);

it("leaves the artwork as it was", () => {
  const picture = pictureOf(2, unaligned);
  tonesOf(picture, ARTWORK, { by: "darkness" });
  expect(picture).toEqual(pictureOf(2, unaligned));
});
