import { describe, expect, it } from "vitest";
import { backgroundOf } from "../../../server/engine/inspect/background.ts";
import type { Picture } from "../../../server/engine/raster.ts";

const WIDTH = 60;
const HEIGHT = 42;
/** Pixels along the edges: 2 · 60 + 2 · 40. */
const BORDER = 200;
type Rgba = [number, number, number, number];

/** Grey inside, and along the edges what is asked for, numbered from the upper left, row by row. */
function framed(edge: (n: number) => Rgba): Picture {
  const data = new Uint8Array(WIDTH * HEIGHT * 4);
  let n = 0;
  for (let y = 0; y < HEIGHT; y++)
    for (let x = 0; x < WIDTH; x++) {
      const rim = x === 0 || y === 0 || x === WIDTH - 1 || y === HEIGHT - 1;
      data.set(rim ? edge(n++) : [90, 90, 90, 255], 4 * (y * WIDTH + x));
    }
  return { width: WIDTH, height: HEIGHT, data };
}

describe("a background", () => {
  it("is the mean of what runs along all four edges, once each", () => {
    const found = backgroundOf(framed((n) => [240, n % 2 === 0 ? 200 : 202, n % 2 === 0 ? 30 : 31, 255]))!;
    // 30.5 is 31.
    expect(found.rgb).toEqual([240, 201, 31]);
    expect(found.border).toHaveLength(BORDER);
    const places = new Set(found.border);
    expect(places.size).toBe(BORDER);
    for (const at of places) {
      const [x, y] = [at % WIDTH, Math.floor(at / WIDTH)];
      expect(x === 0 || y === 0 || x === WIDTH - 1 || y === HEIGHT - 1).toBe(true);
    }
  });

  it.each([
    [4, true],
    [5, false],
  ])("with %i of 200 pixels that do not cover: %s", (clear, isOne) => {
    const found = backgroundOf(framed((n) => [240, 240, 240, n < clear ? 241 : 242]));
    expect(found !== undefined).toBe(isOne);
    // What does not cover is no part of the mean.
    const other = backgroundOf(framed((n) => (n < clear ? [0, 0, 0, 0] : [240, 200, 30, 255])));
    expect(other?.rgb).toEqual(isOne ? [240, 200, 30] : undefined);
  });

  it.each([
    [10, true],
    [11, false],
  ])("with %i of 200 pixels of another colour: %s", (others, isOne) => {
    const found = backgroundOf(framed((n) => (n < others ? [200, 255, 255, 255] : [255, 255, 255, 255])));
    expect(found !== undefined).toBe(isOne);
  });

  // Of greys CIELAB is L* alone, and two halves lie half their difference from the mean: 119 is L* 50.03, 133 L* 55.54,
  // 137 L* 57.09 (CIE 15).
  it.each([
    [133, true],
    [137, false],
  ])("of which half is 119 and half %i: %s", (other, isOne) => {
    const found = backgroundOf(
      framed((n) => [0, 1, 2].map(() => (n % 2 === 0 ? 119 : other)).concat(255) as Rgba),
    );
    expect(found !== undefined).toBe(isOne);
  });

  it.each([0, 1, 2])("of colours that differ in component %i alone is none", (c) => {
    const found = backgroundOf(
      framed((n) => [0, 1, 2, 3].map((k) => (k === 3 ? 255 : k === c && n % 2 === 0 ? 160 : 120)) as Rgba),
    );
    expect(found).toBeUndefined();
  });
});
