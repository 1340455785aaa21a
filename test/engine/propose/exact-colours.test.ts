import { describe, expect, it } from "vitest";
import type { Rgb } from "../../../server/engine/areas/planes.ts";
import { exactColours } from "../../../server/engine/propose/exact-colours.ts";
import { pictureOf } from "../pictures.ts";

const INK: Rgb = [31, 62, 93];
const [WIDTH, HEIGHT] = [12, 10];

/** Counts of the colours found, where all other pixels are of colours of their own. */
function found(isInk: (x: number, y: number) => boolean, counts = (_: number) => 1, least = 1) {
  const pixels = Array.from(
    { length: WIDTH * HEIGHT },
    (_, i): Rgb => (isInk(i % WIDTH, Math.floor(i / WIDTH)) ? INK : [200, i, 255 - i]),
  );
  const held = Uint8Array.from(pixels, (_, i) => counts(i));
  return exactColours(pictureOf(WIDTH, pixels), held, least);
}

describe("exact colours", () => {
  it.each<[string, (x: number, y: number) => boolean]>([
    ["across", (x, y) => y === 4 && x >= 3 && x < 8],
    ["upright", (x, y) => x === 4 && y >= 3 && y < 8],
    ["down to the right", (x, y) => x - y === 1 && y >= 2 && y < 7],
    ["down to the left", (x, y) => x + y === 10 && y >= 2 && y < 7],
  ])("are those that three pixels in a row have: %s", (_, isInk) => {
    // Of five in a row, three have one on each side.
    expect(found(isInk)).toEqual([{ rgb: INK, n: 3 }]);
  });

  it("are none of two in a row, nor of what turns a corner", () => {
    for (const isInk of [
      (x: number, y: number) => y % 3 === 1 && x % 4 < 2,
      (x: number, y: number) => x % 3 === 1 && y % 4 < 2,
      (x: number, y: number) => (x === 4 && y === 4) || (x === 5 && y === 4) || (x === 4 && y === 5),
    ])
      expect(found(isInk)).toEqual([]);
  });

  it("are looked for inside of the picture's rim, where pixels count, and often enough", () => {
    expect(found((x) => x === 0 || x === WIDTH - 1)).toEqual([]);
    expect(found((_, y) => y === 0 || y === HEIGHT - 1)).toEqual([]);
    // A line from rim to rim: all but its ends.
    expect(found((_, y) => y === 1)).toEqual([{ rgb: INK, n: WIDTH - 2 }]);
    expect(found((_, y) => y === HEIGHT - 2)).toEqual([{ rgb: INK, n: WIDTH - 2 }]);
    expect(found((x) => x === 1)).toEqual([{ rgb: INK, n: HEIGHT - 2 }]);
    expect(found((x) => x === WIDTH - 2)).toEqual([{ rgb: INK, n: HEIGHT - 2 }]);
    expect(
      found(
        (_, y) => y === 4,
        (i) => (i % WIDTH < 6 ? 1 : 0),
      ),
    ).toEqual([{ rgb: INK, n: 5 }]);
    expect(found((_, y) => y === 4, undefined, WIDTH - 2)).toHaveLength(1);
    expect(found((_, y) => y === 4, undefined, WIDTH - 1)).toEqual([]);
  });

  it("stand the most frequent first, and are 48 at most", () => {
    const rows = (count: number, long: (k: number) => number) =>
      exactColours(
        pictureOf(
          WIDTH,
          Array.from({ length: WIDTH * (count + 2) }, (_, i): Rgb => {
            const [x, k] = [i % WIDTH, Math.floor(i / WIDTH) - 1];
            return k >= 0 && k < count && x < long(k) ? [5 * (k % 50), 7, k] : [255, i % 256, (i * 7) % 256];
          }),
        ),
        new Uint8Array(WIDTH * (count + 2)).fill(1),
        1,
      );
    expect(rows(3, (k) => 4 + k).map(({ n }) => n)).toEqual([4, 3, 2]);
    expect(rows(60, () => 8)).toHaveLength(48);
  });
});
