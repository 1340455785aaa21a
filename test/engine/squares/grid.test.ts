import { expect, it } from "vitest";
import { LINEAR_OF_BYTE } from "../../../server/engine/colour/srgb.ts";
import { meanRow, squareGrid, squareOf } from "../../../server/engine/squares/grid.ts";
import { type Pixel, pictureOf } from "../pictures.ts";

it("has as many squares down as keep them square, of a pixel at least", () => {
  expect(squareGrid(100, 50, 20)).toEqual({ across: 20, down: 10 });
  // 20 · 37 / 100 = 7.4, 20 · 38 / 100 = 7.6.
  expect([37, 38].map((height) => squareGrid(100, height, 20).down)).toEqual([7, 8]);
  expect(squareGrid(100, 50, 300)).toEqual({ across: 100, down: 50 });
  expect(squareGrid(100, 2, 20)).toEqual({ across: 20, down: 1 });
  expect(squareGrid(3, 7, 0)).toEqual({ across: 1, down: 2 });
});

it("has each pixel in the square that its middle lies in", () => {
  expect([...squareOf(5, 2)]).toEqual([0, 0, 1, 1, 1]);
  expect([...squareOf(4, 4)]).toEqual([0, 1, 2, 3]);
  expect([...squareOf(2, 5)]).toEqual([1, 3]);
});

it("has the mean light of what covers a square's pixels, each by its alpha, and the mean alpha", () => {
  const clear: Pixel = [255, 255, 255, 0];
  const picture = pictureOf(6, [
    ...[
      [9, 9, 9],
      [9, 9, 9],
      [9, 9, 9],
      [9, 9, 9],
      [9, 9, 9],
      [9, 9, 9],
    ],
    ...[[100, 0, 200], [200, 0, 200, 51], clear, clear, [30, 60, 90], [40, 50, 60, 51]],
    ...[[100, 0, 100], clear, clear, clear, [30, 60, 90, 102], [40, 50, 60]],
  ] as unknown as Pixel[]);
  const means = { light: new Float64Array(12).fill(7), cover: new Float64Array(4).fill(7) };
  meanRow(picture, Uint32Array.of(0, 0, 1, 1, 2, 3), 1, 3, means);
  const at = (byte: number) => LINEAR_OF_BYTE[byte]!;
  const wanted = [
    (2 * at(100) + 0.2 * at(200)) / 2.2,
    0,
    (1.2 * at(200) + at(100)) / 2.2,
    ...[0, 0, 0],
    ...[at(30), at(60), at(90)],
    ...[at(40), at(50), at(60)],
  ];
  expect([...means.light]).toEqual(wanted.map((v) => expect.closeTo(v, 12)));
  expect([...means.cover]).toEqual([0.55, 0, 0.7, 0.6].map((v) => expect.closeTo(v, 12)));
});
