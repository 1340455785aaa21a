import { describe, expect, it } from "vitest";
import { planesOf, type Rgb, rgbOf, type Yuv, yuvOf } from "../../../server/engine/areas/planes.ts";
import { calmWindows } from "../../../server/engine/propose/calm.ts";
import { random } from "../../property.ts";
import { pictureOf } from "../pictures.ts";

const CREAM: Rgb = [240, 232, 210];
const RED: Rgb = [200, 30, 40];
const [WIDTH, HEIGHT] = [20, 12];

function windows(
  at: (x: number, y: number) => Rgb,
  {
    width = WIDTH,
    height = HEIGHT,
    page = undefined as Rgb | undefined,
    counts = (_: number): boolean => true,
  } = {},
) {
  const pixels = Array.from({ length: width * height }, (_, i) => at(i % width, Math.floor(i / width)));
  const held = Uint8Array.from(pixels, (_, i) => (counts(i) ? 1 : 0));
  return calmWindows(planesOf(pictureOf(width, pixels)), held, page && yuvOf(page), 6);
}

describe("windows of 4 × 4 pixels", () => {
  it("are calm where they are even: all of an even picture, in one cell", () => {
    const { cells, calm, noisy } = windows(() => RED);
    expect([calm, noisy]).toEqual([17 * 9, false]);
    expect(cells).toEqual([{ at: yuvOf(RED).map((v) => expect.closeTo(v, 3)), n: 17 * 9 }]);
  });

  it("are not where an edge is in them, and are counted by their colour, the most first", () => {
    // Red in 8 columns, cream in 12: of 17 places across, 5 lie in red, 9 in cream, 3 on the edge.
    const { cells, calm } = windows((x) => (x < 8 ? RED : CREAM));
    expect(calm).toBe(14 * 9);
    expect(cells.map(({ n }) => n)).toEqual([9 * 9, 5 * 9]);
    for (const [i, rgb] of [CREAM, RED].entries())
      for (const [c, v] of yuvOf(rgb).entries()) expect(cells[i]!.at[c]).toBeCloseTo(v, 3);
  });

  it("are counted apart where their colours differ in one plane alone", () => {
    const middle: Yuv = [128, 0, 0];
    for (const plane of [0, 1, 2]) {
      const other = middle.map((v, k) => (k === plane ? v + 20 : v)) as unknown as Yuv;
      const { cells } = windows((x) => rgbOf(x < 8 ? middle : other));
      expect(cells.map(({ n }) => n)).toEqual([9 * 9, 5 * 9]);
    }
  });

  it("are looked at where all of their pixels count", () => {
    // One pixel in the middle takes out the 4 × 4 places that hold it, one in the corner its own.
    expect(windows(() => RED, { counts: (i) => i !== 6 * WIDTH + 10 }).calm).toBe(17 * 9 - 16);
    expect(windows(() => RED, { counts: (i) => i !== 0 }).calm).toBe(17 * 9 - 1);
    expect(windows(() => RED, { counts: (i) => i !== WIDTH * HEIGHT - 1 }).calm).toBe(17 * 9 - 1);
  });

  it("are none where the picture is smaller, and one where it is as large", () => {
    for (const [width, height] of [
      [3, 9],
      [9, 3],
      [1, 9],
      [9, 2],
      [1, 1],
    ] as const)
      expect(windows(() => RED, { width, height })).toEqual({ cells: [], calm: 0, noisy: false });
    expect(windows(() => RED, { width: 4, height: 4 }).calm).toBe(1);
  });

  it("may differ by 2 steps of a byte in clean art, root mean square, on any plane", () => {
    // The corner alone is off: its one window, a sixteenth of it, is √15 / 16 of that from its mean.
    const off = (by: number, [r, g, b]: Rgb) =>
      windows((x, y) => (x + y > 0 ? [128, 128, 128] : [128 + by * r, 128 + by * g, 128 + by * b])).calm -
      16 * 9 -
      8;
    expect([off(8, [1, 1, 1]), off(9, [1, 1, 1])]).toEqual([1, 0]);
    // Blue: 0.114 of it in luma, 0.5 and −0.08 in the colour differences, 0.52 in all. Red: 0.3, −0.17, 0.5; 0.61.
    expect([off(15, [0, 0, 1]), off(17, [0, 0, 1])]).toEqual([1, 0]);
    expect([off(13, [1, 0, 0]), off(14, [1, 0, 0])]).toEqual([1, 0]);
  });

  it("are of noisy art where more than a few of the even ones are a little uneven: then they may differ by 7", () => {
    const next = random(61);
    const grain = (by: number) => (): Rgb => {
      const v = 128 + Math.round(by * (2 * next() - 1));
      return [v, v, v];
    };
    const fine = windows(grain(3));
    expect(fine.noisy).toBe(true);
    // Even noise up to 8 is 4.6 root mean square; only some windows have less than 3, and these say that it is noise.
    const coarse = windows(grain(5));
    expect(coarse.noisy).toBe(true);
    expect(coarse.calm).toBe(17 * 9);
  });

  it("are judged beside the page: noise on it alone is none of the art's", () => {
    const next = random(62);
    const at = (x: number): Rgb =>
      x < 10 ? RED : (CREAM.map((v) => v + Math.round(3 * (2 * next() - 1))) as unknown as Rgb);
    expect(windows(at).noisy).toBe(true);
    expect(windows(at, { page: CREAM }).noisy).toBe(false);
    expect(windows(at, { page: RED }).noisy).toBe(true);
  });
});
