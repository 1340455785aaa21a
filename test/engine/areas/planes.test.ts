import { expect, it } from "vitest";
import {
  calmed,
  distance,
  type Planes,
  planesOf,
  type Rgb,
  rgbOf,
  yuvOf,
} from "../../../server/engine/areas/planes.ts";
import { random } from "../../property.ts";
import { pictureOf } from "../pictures.ts";

const close = (values: readonly number[], digits = 1) => values.map((value) => expect.closeTo(value, digits));

it("are luma and colour differences as ITU-R BT.601 has them", () => {
  // E'Y = 0.299 R + 0.587 G + 0.114 B; E'Cb = 0.564 (B − Y), E'Cr = 0.713 (R − Y): ±0.5 of the scale for blue and red.
  expect(yuvOf([255, 0, 0])).toEqual(close([76.245, -43.0, 127.45]));
  expect(yuvOf([0, 0, 255])).toEqual(close([29.07, 127.42, -20.73]));
  expect(yuvOf([255, 255, 255])).toEqual(close([255, 0, 0], 9));
});

it("are of each pixel what they are of its colour, from which the same colour is made again", () => {
  const next = random(4);
  const colours = Array.from({ length: 60 }, () => [0, 1, 2].map(() => Math.floor(256 * next())));
  const { width, height, y, u, v } = planesOf(pictureOf(10, colours as unknown as Rgb[]));
  expect([width, height]).toEqual([10, 6]);
  for (const [i, colour] of colours.entries()) {
    const one = yuvOf(colour as unknown as Rgb);
    expect([y[i], u[i], v[i]]).toEqual(close([...one], 4));
    expect(rgbOf(one)).toEqual(colour);
  }
  expect(rgbOf([250, 30, 60])).toEqual([255, 197, 255]);
  expect(rgbOf([5, -30, -60])).toEqual([0, 58, 0]);
});

it("are as far apart as the straight line between them is long", () => {
  expect(distance([1, 2, 3], [3, 5, 9])).toBeCloseTo(7, 9);
});

it("are calmed to the mean of what is alike in all three, but in the outermost pixels", () => {
  const next = random(8);
  const [width, height, by] = [9, 7, 6];
  const plane = () => Float32Array.from({ length: width * height }, () => Math.round(8 * next()));
  const planes: Planes = { width, height, y: plane(), u: plane(), v: plane() };
  const out = calmed(planes, by);
  const at = (i: number) => [planes.y[i]!, planes.u[i]!, planes.v[i]!];
  for (let i = 0; i < width * height; i++) {
    const [x, row] = [i % width, Math.floor(i / width)];
    const inner = x > 0 && x < width - 1 && row > 0 && row < height - 1;
    const alike = inner
      ? [-width, 0, width]
          .flatMap((step) => [-1, 0, 1].map((side) => at(i + step + side)))
          .filter((one) => one.reduce((sum, value, k) => sum + (value - at(i)[k]!) ** 2, 0) <= by ** 2)
      : [at(i)];
    const mean = [0, 1, 2].map((k) => alike.reduce((sum, one) => sum + one[k]!, 0) / alike.length);
    expect([out.y[i], out.u[i], out.v[i]], `${x}, ${row}`).toEqual(close(mean, 4));
  }
});
