import { describe, expect, it } from "vitest";
import { coverOf, labelAreas } from "../../../server/engine/areas/label.ts";
import type { Rgb } from "../../../server/engine/areas/planes.ts";
import { random } from "../../property.ts";
import { type Pixel, pictureOf } from "../pictures.ts";
import { labelsOf } from "./labels.ts";

const grey = (level: number): Pixel & Rgb => [level, level, level];
const WHITE = grey(250);
const BLACK = grey(20);
const RED: Pixel & Rgb = [200, 20, 40];

/** Pixels from a drawing: digits are colours of a palette. */
const drawn = (palette: readonly (Pixel & Rgb)[], rows: readonly string[]) =>
  pictureOf(
    rows[0]!.length,
    [...rows.join("")].map((digit) => palette[Number(digit)]!),
  );

it("a colour covers what is its own, first or second, and nothing else", () => {
  const labels = labelsOf([
    [0, 1, 100],
    [0, 1, 200],
    [2, 2, 255],
  ]);
  expect([0, 1, 2].map((at) => [0, 1, 2].map((colour) => coverOf(labels, at, colour)))).toEqual([
    [155, 100, 0],
    [55, 200, 0],
    [0, 0, 255],
  ]);
});

describe("in clean art", () => {
  it("a pixel is inside where a square of two or a line of three is its colour, but for an edge's row of their mixture", () => {
    const next = random(21);
    // The third is half of each of the others, the fourth no mixture.
    const palette = [WHITE, BLACK, grey(135), RED];
    const [width, height] = [40, 30];
    const bare = () => Array.from({ length: height }, () => Array.from({ length: width }, () => 0));
    const patches = bare();
    for (let patch = 0; patch < 160; patch++) {
      const [x, y, w, h] = [next() * width, next() * height, 1 + 4 * next(), 1 + 4 * next()].map(Math.floor);
      const colour = Math.floor(4 * next());
      for (let v = y!; v < Math.min(height, y! + h!); v++)
        for (let u = x!; u < Math.min(width, x! + w!); u++) patches[v]![u] = colour;
    }
    // Stripes one to three wide, lying, upright and aslant both ways.
    const stripes = [
      [0, 1],
      [1, 0],
      [1, 1],
      [1, -1],
    ].map(([across, down]) => {
      const order: number[] = [];
      while (order.length < 2 * width) {
        const colour = Math.floor(4 * next());
        for (let wide = 1 + Math.floor(3 * next()); wide > 0; wide--) order.push(colour);
      }
      return bare().map((row, y) =>
        row.map((_, x) => order[across! * x + down! * y + (down! < 0 ? height : 0)]!),
      );
    });
    for (const digits of [patches, ...stripes]) {
      const at = (x: number, y: number) => digits[y]?.[x];
      const isInside = (x: number, y: number) => {
        const own = at(x, y);
        for (const left of [-1, 0])
          for (const up of [-1, 0])
            if ([0, 1].every((dx) => [0, 1].every((dy) => at(x + left + dx, y + up + dy) === own)))
              return true;
        return [
          [1, 0],
          [0, 1],
          [1, 1],
          [1, -1],
        ].some(([dx, dy]) => {
          if (at(x - dx!, y - dy!) !== own || at(x + dx!, y + dy!) !== own) return false;
          const sides = [at(x + 2 * dy!, y - 2 * dx!), at(x - 2 * dy!, y + 2 * dx!)];
          return !(own === 2 && sides.includes(0) && sides.includes(1));
        });
      };
      const { inside } = labelAreas(
        drawn(
          palette,
          digits.map((row) => row.join("")),
        ),
        palette,
      );
      const wanted = digits.map((row, y) => row.map((_, x) => Number(isInside(x, y))));
      expect(
        Array.from({ length: height }, (_, y) => [...inside.subarray(y * width, (y + 1) * width)]),
      ).toEqual(wanted);
      expect(new Set(wanted.flat()).size).toBe(2);
    }
  });

  it("a pixel is like its colour up to 4 steps of a byte, or 0.35 of the way to the next colour", () => {
    const insideOf = (level: number, palette: readonly Rgb[]) =>
      labelAreas(
        pictureOf(
          2,
          Array.from({ length: 4 }, () => grey(level)),
        ),
        palette,
      ).inside[0];
    expect([insideOf(246, [WHITE, BLACK]), insideOf(245, [WHITE, BLACK])]).toEqual([1, 0]);
    // 0.35 of ten.
    const close = [WHITE, grey(240)];
    expect([insideOf(247, close), insideOf(246, close)]).toEqual([1, 0]);
  });

  it("a colour that is nowhere beside is believed where what is beside is nine steps off and more", () => {
    // Colours as light as half of white and half of black, and 8.49 and 9.49 beside these in blue's difference.
    for (const [blue, wanted] of [
      [150, [0, 1]],
      [152, [2, 2]],
    ] as const) {
      const other: Pixel & Rgb = [135, 132, blue];
      const { first, second } = labelAreas(drawn([WHITE, BLACK, other], ["00111", "00211", "00111"]), [
        WHITE,
        BLACK,
        other,
      ]);
      expect([first[7], second[7]].sort(), `${blue}`).toEqual(wanted);
    }
  });

  it("a line's pixel is inside where all three are at most 2.5 steps off their colour", () => {
    const line = (level: number) => {
      const row = (middle: number) => [20, 20, middle, 20, 20].map((dark) => grey(dark));
      const bare = Array.from({ length: 5 }, () => WHITE);
      return [
        ...labelAreas(pictureOf(5, [...bare, ...row(level), ...bare]), [WHITE, BLACK]).inside.subarray(5, 10),
      ];
    };
    expect(line(22)).toEqual([0, 1, 1, 1, 0]);
    expect(line(23)).toEqual([0, 0, 0, 0, 0]);
  });

  it("a pixel inside of an area is its alone, though it lies between its colour and the next one's", () => {
    const row = ["0011", "0011"];
    const { first, second, share } = labelAreas(drawn([grey(247), grey(240)], row), [WHITE, grey(240)]);
    expect([...first.subarray(0, 4)]).toEqual([0, 0, 1, 1]);
    expect([...second.subarray(0, 4)]).toEqual([0, 0, 1, 1]);
    expect([...share]).toEqual(Array(8).fill(255));
  });

  it("an edge's pixel is a share of the two beside it, and of none that lies three away", () => {
    const row = (far: string) => ["00", "00", "00"].map((left) => `${left}2${far}`);
    // The middle column is 60 % black, or nearly another grey.
    const colours = [WHITE, BLACK, grey(113)];
    const middleOf = (far: string) => {
      const { width, first, second, share } = labelAreas(
        drawn([WHITE, BLACK, grey(112), grey(113)], row(far)),
        colours,
      );
      return [first, second, share].map((values) => values[width + 2]);
    };
    expect(middleOf("111111")).toEqual([1, 0, 153]);
    expect(middleOf("111333")).toEqual([1, 0, 153]);
    // With that grey two away, it is the grey's.
    expect(middleOf("133333")).toEqual([2, 2, 255]);
    // In the first column too.
    const { width, first, second, share } = labelAreas(
      drawn([WHITE, BLACK, grey(112)], ["0011", "2011", "0011"]),
      colours,
    );
    expect([first, second, share].map((values) => values[width])).toEqual([1, 0, 153]);
  });
});

describe("what is partly clear", () => {
  const of = (alpha: number) => {
    const { first, second, share } = labelAreas(
      pictureOf(
        2,
        Array.from({ length: 4 }, () => [20, 20, 20, alpha] as const),
      ),
      [WHITE, BLACK],
    );
    return [first[0], second[0], share[0]];
  };
  it.each([
    [255, [1, 1, 255]],
    [250, [1, 1, 255]],
    [249, [1, 2, 249]],
    [128, [1, 2, 128]],
    [127, [2, 1, 128]],
    [1, [2, 1, 254]],
    [0, [2, 2, 255]],
  ])("is its colour's by its alpha, and clear's by the rest: %i", (alpha, wanted) => {
    expect(of(alpha)).toEqual(wanted);
  });

  it("is inside of nothing where more than half of it is clear", () => {
    const inside = (alpha: number) =>
      new Set(
        labelAreas(
          pictureOf(
            5,
            Array.from({ length: 25 }, () => [20, 20, 20, alpha] as const),
          ),
          [WHITE, BLACK],
        ).inside,
      );
    expect([inside(128), inside(127)]).toEqual([new Set([1]), new Set([0])]);
  });
});

describe("noise", () => {
  /** A fill of whose inner pixels so many are off by so much, and no others but the outermost. */
  const fill = (off: readonly (readonly [by: number, pixels: number])[], width = 12, height = 12) => {
    const steps = off.flatMap(([by, pixels]) => Array.from({ length: pixels }, () => by));
    return pictureOf(
      width,
      Array.from({ length: width * height }, (_, i) => {
        const [x, y] = [i % width, Math.floor(i / width)];
        const outer = x === 0 || y === 0 || x === width - 1 || y === height - 1;
        return grey(250 - (outer ? 30 : (steps[(y - 1) * (width - 2) + x - 1] ?? 0)));
      }),
    );
  };
  const labelled = (...off: readonly (readonly [by: number, pixels: number])[]) =>
    labelAreas(fill(off), [WHITE, BLACK]);

  it("is how far nine of ten pixels within fills are from their colours", () => {
    expect(labelled([1, 10])).toMatchObject({ noise: 0, noisy: false });
    expect(labelled([1, 11])).toMatchObject({ noise: 1, noisy: false });
    expect(labelled([2, 11], [5, 11])).toMatchObject({ noise: 5, noisy: true });
    expect(labelled([2, 2], [5, 10])).toMatchObject({ noise: 2, noisy: true });
    // Nine tenths of 105 are 94.5: 94 are not enough.
    expect(labelAreas(fill([[1, 11]], 17, 9), [WHITE, BLACK]).noise).toBe(1);
  });

  it("makes art noisy above one and a half", () => {
    // Two more of green are 1.17 of luma, and 1.07 of both differences: 1.59 in all, 1.5 in quarters.
    const of = (green: number) => {
      const pixels = Array.from(
        { length: 144 },
        (_, i): Pixel => [240, 240 + (i % 4 === 0 ? green : 0), 240],
      );
      const { noise, noisy } = labelAreas(pictureOf(12, pixels), [grey(240), BLACK]);
      return [noise, noisy];
    };
    expect([of(2), of(3)]).toEqual([
      [1.5, false],
      [2.5, true],
    ]);
  });

  it("is there too where three of a hundred pixels have it", () => {
    expect(labelled([2, 3])).toMatchObject({ noise: 0, noisy: false });
    expect(labelled([2, 4])).toMatchObject({ noise: 0, noisy: true });
    expect(labelled([1, 4])).toMatchObject({ noise: 0, noisy: false });
  });

  it("is none where a pixel is as far as 40, beside another colour, or clear", () => {
    expect(labelled([39, 4]).noisy).toBe(true);
    expect(labelled([40, 20]).noisy).toBe(false);
    const stripes = Array.from({ length: 12 }, (_, y) => (y % 4 < 2 ? "222222222222" : "111111111111"));
    expect(labelAreas(drawn([WHITE, grey(247), BLACK], stripes), [WHITE, BLACK]).noisy).toBe(false);
    const columns = Array.from({ length: 12 }, () => "112211221122");
    expect(labelAreas(drawn([WHITE, grey(247), BLACK], columns), [WHITE, BLACK]).noisy).toBe(false);
    const clear = pictureOf(
      5,
      Array.from({ length: 25 }, () => [240, 240, 240, 127] as const),
    );
    expect(labelAreas(clear, [WHITE, BLACK]).noisy).toBe(false);
  });

  it("makes a pixel beside an edge dearer to be of two colours, by as much as there is", () => {
    // Every fifth pixel has 3 more red: 0.9 of luma and 1.5 of its difference, 1.8 in all.
    const side = 16;
    const pixels = Array.from({ length: side * 12 }, (_, i): Pixel => {
      const level = i % side < 8 ? 240 : 230;
      return [level + (i % 5 === 0 ? 3 : 0), level, level];
    });
    const at = 5 * side + 6;
    const of = (level: number) => {
      const { noise, first, second, share } = labelAreas(pictureOf(side, pixels.with(at, grey(level))), [
        grey(240),
        grey(230),
      ]);
      expect(noise).toBe(1.75);
      return [first[at], second[at], share[at]];
    };
    // 4 off its own are 16, under (3 + 1.75)²; 5 are 25 and between both by half.
    expect(of(236)).toEqual([0, 0, 255]);
    expect(of(235)).toEqual([0, 1, 128]);
  });

  it("is calmed: a fill is its colour inside, and pixels of strokes of one and two keep their colour", () => {
    const next = random(6);
    const side = 24;
    const picture = pictureOf(
      side,
      Array.from({ length: side * side }, (_, i) => {
        const x = i % side;
        const level = x === 12 || x === 17 || x === 18 ? 30 : x < 12 ? 240 : 100;
        // A few are further off than what is like their colour, and are calmed to it.
        const isOff = i % 23 === 0 && i > side && i < side * (side - 1) && i % side > 0;
        return grey(level + (isOff ? 14 : Math.round(8 * (2 * next() - 1))));
      }),
    );
    const palette = [grey(240), grey(100), grey(30)];
    const { first, second, inside, noisy } = labelAreas(picture, palette);
    expect(noisy).toBe(true);
    for (let i = 0; i < first.length; i++) {
      const x = i % side;
      const isStroke = x === 12 || x === 17 || x === 18;
      const wanted = isStroke ? 2 : x < 12 ? 0 : 1;
      expect(first[i], `${i}`).toBe(wanted);
      // No square of three fits into a stroke.
      if (isStroke) expect(inside[i], `${i}`).toBe(0);
      if (x < 10 || x > 20) expect([second[i], inside[i]]).toEqual([wanted, 1]);
    }
  });
});
