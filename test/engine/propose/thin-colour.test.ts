import { describe, expect, it } from "vitest";
import { planesOf, type Rgb } from "../../../server/engine/areas/planes.ts";
import { thinColour } from "../../../server/engine/propose/thin-colour.ts";
import { pictureOf } from "../pictures.ts";

const WHITE: Rgb = [255, 255, 255];
const INK: Rgb = [30, 60, 150];
/** What resampling makes of the stroke's edge. */
const HALF: Rgb = [142, 158, 202];
const [WIDTH, HEIGHT] = [20, 12];

function found(at: (x: number, y: number) => Rgb, known: readonly Rgb[] = [WHITE]) {
  const pixels = Array.from({ length: WIDTH * HEIGHT }, (_, i) => at(i % WIDTH, Math.floor(i / WIDTH)));
  const strange = pixels.flatMap((rgb, i) => (known.includes(rgb) ? [] : [i]));
  return thinColour(
    planesOf(pictureOf(WIDTH, pixels)),
    strange,
    known.map((rgb) => ({ rgb })),
  );
}

describe("the colour of thin strokes", () => {
  it.each<[string, (x: number, y: number) => Rgb]>([
    ["upright", (x) => (x === 9 ? INK : x === 8 || x === 10 ? HALF : WHITE)],
    ["across", (_, y) => (y === 5 ? INK : y === 4 || y === 6 ? HALF : WHITE)],
    ["along the left edge", (x) => (x === 0 ? INK : x === 1 ? HALF : WHITE)],
    ["along the right edge", (x) => (x === WIDTH - 1 ? INK : x === WIDTH - 2 ? HALF : WHITE)],
    ["along the upper edge", (_, y) => (y === 0 ? INK : y === 1 ? HALF : WHITE)],
    ["along the lower edge", (_, y) => (y === HEIGHT - 1 ? INK : y === HEIGHT - 2 ? HALF : WHITE)],
  ])("is that of their middles, not of their edges: %s", (_, at) => {
    for (const [c, v] of found(at)!.entries()) expect(Math.abs(v - INK[c]!)).toBeLessThanOrEqual(1);
  });

  it("is looked for up to two pixels away", () => {
    const stroke = (reach: number) => (x: number) =>
      x === 9 ? INK : Math.abs(x - 9) <= reach ? HALF : WHITE;
    expect(found(stroke(2))![0]).toBeLessThan(40);
    // Of a stroke seven wide, pixels at its rim see none of the middle: HALF is as frequent.
    const wide = found(stroke(12))!;
    for (const [c, v] of wide.entries()) expect(Math.abs(v - HALF[c]!)).toBeLessThanOrEqual(1);
  });

  it("is the mean of a stroke's pixels that are nearly alike", () => {
    const grain = (x: number, y: number): Rgb => (x === 9 ? (y % 2 === 0 ? INK : [36, 66, 156]) : WHITE);
    for (const [c, v] of found(grain)!.entries()) expect(Math.abs(v - INK[c]! - 3)).toBeLessThanOrEqual(1);
  });

  it("is the commonest of several", () => {
    const red: Rgb = [200, 30, 40];
    const two = (x: number) => (x === 3 || x === 8 ? red : x === 14 ? INK : WHITE);
    expect(found(two)).toEqual(red);
    expect(found((x) => two(WIDTH - 1 - x), [WHITE, red])).toEqual(INK);
  });

  it("is the same of two as common, wherever they stand", () => {
    const red: Rgb = [200, 30, 40];
    const two = (x: number) => (x === 5 ? red : x === 14 ? INK : WHITE);
    expect(found((x) => two(WIDTH - 1 - x))).toEqual(found(two));
  });

  it("is none where nothing is strange, or what is has no colour in common", () => {
    expect(found(() => WHITE)).toBeUndefined();
    // Single pixels apart, each of a colour of its own.
    const many = (x: number, y: number): Rgb =>
      x % 4 === 1 && y % 4 === 1 ? [(x * 40) % 200, (y * 50) % 200, ((x + 2 * y) * 30) % 200] : WHITE;
    expect(found(many)).toBeUndefined();
  });
});
