import { expect, it } from "vitest";
import { LINEAR_OF_BYTE } from "../../../server/engine/colour/srgb.ts";
import { noiseAt } from "../../../server/engine/screen/noise.ts";
import { SquareNoise } from "../../../server/engine/squares/blue-noise.ts";
import { Palette } from "../../../server/engine/squares/palette.ts";

/** The eight corners of linear sRGB, of which clear is white's. */
const CORNERS = [7, 0, 1, 2, 3, 4, 5, 6].map((k) => ({ r: k >> 2, g: (k >> 1) & 1, b: k & 1 }));
const SIDE = 128;

/** The numbers of as many squares as masks repeat after, of one light and cover. */
function squaresOf(palette: Palette, light: readonly number[], cover = 1): Uint8Array {
  const noise = new SquareNoise(palette);
  const row = {
    light: Float64Array.from({ length: 3 * SIDE }, (_, i) => light[i % 3]!),
    cover: new Float64Array(SIDE).fill(cover),
  };
  const all = new Uint8Array(SIDE * SIDE);
  for (let y = 0; y < SIDE; y++) noise.row(row, y, all.subarray(y * SIDE, (y + 1) * SIDE));
  return all;
}

const share = (squares: Uint8Array, is: (k: number) => boolean) => squares.filter(is).length / squares.length;

it("gives each colour of a mixture as many squares as its part is, the dark ones those that come first in the mask", () => {
  const greys = new Palette([
    { r: 1, g: 1, b: 1 },
    { r: 0, g: 0, b: 0 },
  ]);
  // A light that is known itself, so that none of its neighbours is taken.
  const light = LINEAR_OF_BYTE[150]!;
  const squares = squaresOf(greys, [light, light, light]);
  expect(Math.abs(share(squares, (k) => k === 0) - light)).toBeLessThan(1.5 / 256);
  const dark = [...squares.keys()].filter((at) => squares[at] === 1);
  const ranks = dark.map((at) => noiseAt(0, at % SIDE, Math.floor(at / SIDE)));
  expect(Math.max(...ranks)).toBe(dark.length - 1);
});

it("has a light's mean in each band, between the lights that are known too", () => {
  const palette = new Palette(CORNERS);
  for (const light of [
    [0.31, 0.62, 0.05],
    [0.003, 0.97, 0.5],
    [0.012, 0.2, 0.985],
  ]) {
    const squares = squaresOf(palette, light);
    for (const [c, v] of light.entries()) {
      const mean = share(squares, (k) => palette.light[3 * k + c] === 1);
      expect(Math.abs(mean - v), `${light}, ${c}`).toBeLessThan(0.006);
    }
  }
});

it("leaves as many squares bare as are not covered, by another mask than that of colours", () => {
  const black = new Palette([
    { r: 1, g: 1, b: 1 },
    { r: 0, g: 0, b: 0 },
    { r: 1, g: 0, b: 0 },
  ]);
  expect(share(squaresOf(black, [0, 0, 0], 0.3), (k) => k === 1)).toBeCloseTo(0.3, 3);
  expect(share(squaresOf(black, [0, 0, 0], 0), (k) => k === 0)).toBe(1);
  const light = LINEAR_OF_BYTE[150]!;
  const half = squaresOf(black, [light, 0, 0], 0.5);
  // Of what is covered each has its part.
  expect(Math.abs(share(half, (k) => k === 2) - light / 2)).toBeLessThan(0.01);
});
