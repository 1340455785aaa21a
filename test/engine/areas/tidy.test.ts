import { describe, expect, it } from "vitest";
import type { Labels } from "../../../server/engine/areas/label.ts";
import { type Rgb, rgbOf } from "../../../server/engine/areas/planes.ts";
import { tidy } from "../../../server/engine/areas/tidy.ts";
import type { Picture } from "../../../server/engine/raster.ts";
import { drawnOf, labelsDrawn } from "./labels.ts";

/** A colour so much of the way from the ground, a light blue, to one 100 darker, and to one as light and 80 away. */
const between = (darker: number, other: number): Rgb =>
  rgbOf([160 - 100 * darker, 10 - 64 * other, -15 + 48 * other]);
const COLOURS: readonly Rgb[] = [between(0, 0), between(1, 0), between(0, 1)];

/** A picture whose pixels are ground but for so much of the way to each of the other two. */
function pictureOf(labels: Labels, wayAt: (i: number) => readonly [darker: number, other: number]): Picture {
  const data = new Uint8Array(4 * labels.first.length).fill(255);
  for (let i = 0; i < labels.first.length; i++) {
    const [darker, other] = wayAt(i);
    data.set(between(darker, other), 4 * i);
  }
  return { width: labels.width, height: labels.height, data };
}

interface How {
  readonly inside?: string;
  readonly way?: readonly [darker: number, other: number];
  readonly noisy?: boolean;
  readonly speckMm?: number;
}

/**
 * The drawing, tidied. What is not ground is `way` from it in the picture, and inside of an area where `inside` has a 1; at 2
 * pixels to a millimetre.
 */
function tidied(
  rows: readonly string[],
  { inside, way = [1, 0], noisy = false, speckMm = 0 }: How = {},
): string[] {
  const labels = { ...labelsDrawn(...rows), noisy };
  labels.inside.set(
    Uint8Array.from(inside ?? rows.join("").replace(/./g, (c) => (c === "0" ? "1" : "0")), Number),
  );
  const picture = pictureOf(labels, (i) => (labels.first[i] === 0 ? [0, 0] : way));
  tidy(picture, labels, COLOURS, 2, speckMm);
  return drawnOf(labels.first, labels.width);
}

const DOT = ["00000", "00000", "00100", "00000", "00000"];
const NONE = Array(5).fill("00000");
const STROKE = ["000000", "000000", "011110", "000000", "000000"];

describe("a piece without an inside", () => {
  it("stays in clean art where it stands for 0.6 of a pixel's ink, and goes to what is around under that", () => {
    expect(tidied(DOT, { way: [0.61, 0] })).toEqual(DOT);
    expect(tidied(DOT, { way: [0.59, 0] })).toEqual(NONE);
    // The first piece of all too.
    expect(tidied(["1000", "0000"])).toEqual(["1000", "0000"]);
  });

  it("stays in noisy art where it stands for two and a half", () => {
    expect(tidied(STROKE, { way: [0.64, 0], noisy: true })).toEqual(STROKE);
    expect(tidied(STROKE, { way: [0.61, 0], noisy: true })).toEqual(Array(5).fill("000000"));
  });

  it("is told by its blur too: what the pixels up to two around it have counts", () => {
    const [width, middle] = [9, 4 * 9 + 4];
    const labels = labelsDrawn(...Array.from({ length: 9 }, (_, y) => (y === 4 ? "000010000" : "000000000")));
    labels.inside.fill(1);
    labels.inside[middle] = 0;
    const stays = (...places: readonly number[]) => {
      const own = { ...labels, first: labels.first.slice(), second: labels.second.slice() };
      // A quarter at the piece itself, and a quarter at two places more.
      const picture = pictureOf(own, (i) => (i === middle || places.includes(i) ? [0.25, 0] : [0, 0]));
      tidy(picture, own, COLOURS, 2, 0);
      return own.first[middle] === 1;
    };
    for (const step of [1, -1, width, -width]) {
      expect(stays(middle + 2 * step, middle + step)).toBe(true);
      // Three away they are another's.
      expect(stays(middle + 3 * step, middle + step)).toBe(false);
    }
  });

  it("is told by its blur in the picture's last row and column too", () => {
    const labels = labelsDrawn("0000", "0000", "0010", "0000");
    labels.inside.fill(1);
    labels.inside[10] = 0;
    tidy(
      pictureOf(labels, (i) => ([10, 11, 14].includes(i) ? [0.25, 0] : [0, 0])),
      labels,
      COLOURS,
      2,
      0,
    );
    expect(labels.first[10]).toBe(1);
  });

  it("takes no ink from another area beside it", () => {
    const labels = labelsDrawn("000000", "000022", "001022", "000022", "000000");
    const insideOf = (area: 0 | 1) => {
      const own = { ...labels, first: labels.first.slice(), second: labels.second.slice() };
      for (const [i, label] of own.first.entries()) own.inside[i] = label === 1 ? 0 : label === 2 ? area : 1;
      tidy(
        pictureOf(own, (i) => (own.first[i] === 0 ? [0, 0] : [own.first[i] === 1 ? 0.5 : 0.2, 0])),
        own,
        COLOURS,
        2,
        0,
      );
      return own.first[2 * 6 + 2];
    };
    expect(insideOf(1)).toBe(0);
    // Its pixels three beside make 0.6 more: of a stroke that is nowhere whole, they are its blur.
    expect(insideOf(0)).toBe(1);
  });

  it("takes another colour where that fits clearly better than its own", () => {
    // Off its own line by 0.9 · 80, off the other's by 0.5 · 100: 50² are less than 0.6 of 72².
    const other = STROKE.map((row) => row.replaceAll("1", "2"));
    expect(tidied(STROKE, { way: [0.5, 0.9] })).toEqual(other);
    // 50² are more than 0.6 of 56².
    expect(tidied(STROKE, { way: [0.5, 0.7] })).toEqual(STROKE);
    expect(tidied(other, { way: [0.5, 0.9] })).toEqual(other);
    expect(tidied(other, { way: [0.9, 0.3] })).toEqual(STROKE);
  });

  it("takes no colour that lies the other way", () => {
    expect(tidied(STROKE, { way: [0.62, -0.8] })).toEqual(STROKE);
  });

  it("stays beside what is clear, and is looked at no more where a tenth of it and more is inside", () => {
    const faint = { way: [0.01, 0] } as const;
    expect(tidied(["33333", "33133", "33333"], faint)).toEqual(["33333", "33133", "33333"]);
    const line = ["000000000000", "011111111110", "000000000000"];
    const inside = (pixels: number) => {
      const own = line.join("").replace(/./g, (c) => (c === "0" ? "1" : "0"));
      return own.slice(0, 13) + "1".repeat(pixels) + own.slice(13 + pixels);
    };
    expect(tidied(line, { ...faint, inside: inside(1) })).toEqual(Array(3).fill("000000000000"));
    expect(tidied(line, { ...faint, inside: inside(2) })).toEqual(line);
  });

  it("stays where it is the whole picture, or has more than 1200 pixels", () => {
    expect(tidied(["11", "11"], { way: [0.01, 0] })).toEqual(["11", "11"]);
    const block = (width: number) =>
      Array.from({ length: 42 }, (_, y) => `0${(y < 1 || y > 40 ? "0" : "1").repeat(width)}0`);
    const [most, more] = [block(30), block(30)];
    more[41] = `01${more[41]!.slice(2)}`;
    expect(tidied(most, { way: [0.0001, 0] }).join("")).not.toContain("1");
    expect(tidied(more, { way: [0.0001, 0] })).toEqual(more);
  });
});

describe("a speck", () => {
  const block = ["000000", "011100", "011100", "011100", "000000"];
  const whole = "1".repeat(30);

  it("goes where it has fewer pixels than a square of that side, whatever is inside of it", () => {
    // 1.5 mm are 3 pixels.
    expect(tidied(block, { inside: whole, speckMm: 1.5 })).toEqual(block);
    expect(tidied(block, { inside: whole, speckMm: 1.51 })).toEqual(Array(5).fill("000000"));
    expect(tidied(["33333", "33133", "33333"], { inside: whole.slice(15), speckMm: 1 })).toEqual(
      Array(3).fill("33333"),
    );
  });

  it("hangs together across corners", () => {
    const two = ["1000", "0100", "0000"];
    expect(tidied(two, { inside: whole.slice(0, 12), speckMm: 0.6 })).toEqual(two);
  });

  it("goes to the colour that most of the pixels around it have, corners too; the first of as many", () => {
    const speck = { inside: "1".repeat(9), speckMm: 0.6 };
    expect(tidied(["222", "212", "000"], speck)[1]).toBe("222");
    expect(tidied(["222", "210", "000"], speck)[1]).toBe("200");
  });
});

describe("what a piece was mixed with", () => {
  /** The row's middle three pixels, which were colour 1 at the middle one, after it became another. */
  function row(seconds: readonly number[], how: How) {
    const labels = labelsDrawn("0000000", "0001000", "0000000");
    labels.second.set(seconds, 9);
    labels.share.set(
      seconds.map((second, k) => (second === labels.first[9 + k] ? 255 : 170)),
      9,
    );
    for (const [i, label] of labels.first.entries()) labels.inside[i] = label === 0 ? 1 : 0;
    const { way = [1, 0] } = how;
    tidy(
      pictureOf(labels, (i) => (labels.first[i] === 1 ? way : [0, 0])),
      labels,
      COLOURS,
      2,
      how.speckMm ?? 0,
    );
    return [9, 10, 11].map((i) => [labels.first[i], labels.second[i], labels.share[i]]);
  }

  it("is one with it where it goes to what is around", () => {
    expect(row([0, 0, 0], { way: [0.3, 0] })).toEqual(Array(3).fill([0, 0, 255]));
  });

  it("keeps its share where the piece takes another colour, and its rim takes that colour along", () => {
    expect(row([1, 0, 1], { way: [0.1, 1] })).toEqual([
      [0, 2, 170],
      [2, 0, 170],
      [0, 2, 170],
    ]);
    expect(row([0, 1, 2], { way: [0.1, 1] })).toEqual([
      [0, 0, 255],
      [2, 2, 255],
      [0, 2, 170],
    ]);
    expect(row([0, 2, 0], { way: [0.1, 1] })[1]).toEqual([2, 2, 255]);
  });
});

describe("a second colour that no pixel around has as its own", () => {
  function rims({ noisy = true, speckMm = 0.1 } = {}) {
    const labels = { ...labelsDrawn("000000", "200000", "000022", "000022"), noisy };
    labels.inside.fill(1);
    // Beside colour 2 across a corner, two away from it, at the picture's left border, and at the right one, behind
    // which the next row begins with it.
    const pixels = [6 + 3, 6 + 2, 18, 5];
    for (const i of pixels) {
      labels.second[i] = 2;
      labels.share[i] = 180;
    }
    tidy(
      pictureOf(labels, () => [0, 0]),
      labels,
      COLOURS,
      2,
      speckMm,
    );
    return pixels.map((i) => [labels.second[i], labels.share[i]]);
  }

  it("is noise in noisy art, but where specks may be of any size", () => {
    const [kept, gone] = [
      [2, 180],
      [0, 255],
    ];
    expect(rims()).toEqual([kept, gone, gone, gone]);
    for (const how of [{ noisy: false }, { speckMm: 0 }]) expect(rims(how)).toEqual(Array(4).fill(kept));
  });
});

it("has no piece for what is clear", () => {
  expect(tidied(["000", "030", "000"], { inside: "111101111", speckMm: 0.6 })).toEqual(["000", "030", "000"]);
});
