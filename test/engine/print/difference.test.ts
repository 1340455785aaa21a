import { expect, it } from "vitest";
import { deltaE00 } from "../../../server/engine/colour/ciede2000.ts";
import { labFromBytes } from "../../../server/engine/colour/cielab.ts";
import {
  type Difference,
  DifferenceMeter,
  DifferenceTally,
  totalDifference,
} from "../../../server/engine/print/difference.ts";
import { random } from "../../property.ts";
import { BLACK, MIDDLE, type Pixel, pictureOf, proofOf, RED, WHITE } from "../pictures.ts";

/** ΔE00 of two 8-bit colours. */
function between(first: Pixel, second: Pixel): number {
  const [one, other] = [first, second].map(([r, g, b]) => labFromBytes(r, g, b));
  return deltaE00(one.L, one.a, one.b, other.L, other.a, other.b);
}

function measured(artwork: readonly Pixel[], proof: readonly Pixel[], garment: Pixel = WHITE): Difference {
  const [r, g, b] = garment;
  const meter = new DifferenceMeter(labFromBytes(r, g, b));
  const bytes = proofOf(proof);
  meter.add(pictureOf(1, artwork), 0, artwork.length, bytes);
  return meter.result();
}

it("finds nothing between equal pictures", () => {
  const picture = [WHITE, BLACK, RED, MIDDLE];
  const { pixels, mean, p95 } = measured(picture, picture);
  expect([pixels, mean]).toEqual([4, 0]);
  // The percentile is known to a class of 0.01.
  expect(p95).toBeLessThanOrEqual(0.005);
});

it("gives the mean of ΔE00", () => {
  const seen = measured([WHITE, WHITE, WHITE, RED], [WHITE, MIDDLE, BLACK, MIDDLE]);
  const wanted = (between(WHITE, MIDDLE) + between(WHITE, BLACK) + between(RED, MIDDLE)) / 4;
  // White against black is ΔE00 100.
  expect(between(WHITE, BLACK)).toBeCloseTo(100, 6);
  expect(seen.mean).toBeCloseTo(wanted, 3);
});

it("gives the ΔE00 that 95 of 100 pixels keep within", () => {
  const off = between(WHITE, MIDDLE);
  const artwork = Array<Pixel>(100).fill(WHITE);
  const proof = (bad: number) => artwork.map((pixel, i) => (i < bad ? MIDDLE : pixel));
  expect(measured(artwork, proof(5)).p95).toBeLessThanOrEqual(0.005);
  expect(Math.abs(measured(artwork, proof(6)).p95 - off)).toBeLessThanOrEqual(0.006);
  expect(Math.abs(measured(artwork, proof(100)).p95 - off)).toBeLessThanOrEqual(0.006);
});

it("agrees with all pixels' differences sorted", () => {
  const next = random(9);
  const near = ([r, g, b]: Pixel): Pixel =>
    [r, g, b].map((v) => Math.min(255, v + ((next() * 40) | 0))) as [number, number, number];
  const artwork = Array.from(
    { length: 5000 },
    (): Pixel => [next() * 220, next() * 220, next() * 220].map(Math.floor) as [number, number, number],
  );
  const proof = artwork.map(near);
  const sorted = artwork.map((pixel, i) => between(pixel, proof[i])).sort((a, b) => a - b);
  const seen = measured(artwork, proof);
  expect(seen.mean).toBeCloseTo(sorted.reduce((sum, v) => sum + v) / sorted.length, 2);
  expect(Math.abs(seen.p95 - sorted[Math.ceil(0.95 * sorted.length) - 1])).toBeLessThan(0.02);
});

it("takes no pair of colours for another one, however many there are", () => {
  // 30,000 proof colours against one of the artwork, and the other way round.
  const many = Array.from({ length: 30_000 }, (_, i): Pixel => [i & 31, (i >> 5) & 31, 8 * (i >> 10)]);
  const one = many.map(() => RED);
  const wanted = many.reduce((sum, pixel) => sum + between(RED, pixel), 0) / many.length;
  expect(measured(one, many).mean).toBeCloseTo(wanted, 3);
  expect(measured(many, one).mean).toBeCloseTo(wanted, 3);
});

it("compares with the artwork as it would look on the garment where it is half transparent", () => {
  // Red of 200/255 on black: 0.78431 of linear light 1 is sRGB 228.7; on white green and blue are 0.21569: 128.4.
  const artwork: Pixel[] = [[255, 0, 0, 200]];
  expect(measured(artwork, [[229, 0, 0]], BLACK).mean).toBe(0);
  expect(measured(artwork, [[255, 128, 128]], WHITE).mean).toBe(0);
  expect(measured(artwork, [[255, 0, 0]], WHITE).mean).toBeGreaterThan(5);
});

it("compares nothing where the artwork is less than half opaque", () => {
  const artwork: Pixel[] = [
    [255, 255, 255, 0],
    [255, 255, 255, 127],
    [0, 0, 0, 128],
    [0, 0, 0, 255],
  ];
  const { pixels, mean } = measured(artwork, [BLACK, BLACK, BLACK, BLACK], BLACK);
  expect([pixels, mean]).toEqual([2, 0]);
});

it("finds nothing to say about an artwork without opaque pixels", () => {
  expect(measured([[9, 9, 9, 0]], [WHITE])).toEqual({ pixels: 0, mean: 0, p95: 0 });
});

it("adds up pieces of a picture", () => {
  const artwork = [WHITE, RED, MIDDLE, BLACK, RED, WHITE];
  const proof = [MIDDLE, RED, RED, WHITE, BLACK, WHITE];
  const picture = pictureOf(3, artwork);
  const [r, g, b] = WHITE;
  const meter = new DifferenceMeter(labFromBytes(r, g, b));
  for (const [start, end] of [
    [0, 2],
    [2, 5],
    [5, 6],
  ]) {
    meter.add(picture, start, end, proofOf(proof.slice(start, end)));
  }
  expect(meter.result()).toEqual(measured(artwork, proof));
});

it("takes the tallies of parts together", () => {
  const [one, other] = [new DifferenceTally(), new DifferenceTally()];
  for (let i = 0; i < 60; i++) one.add(1);
  for (let i = 0; i < 34; i++) other.add(2);
  for (let i = 0; i < 6; i++) other.add(i === 0 ? 3 : 9);
  // 95 of 100 keep within 3: 60 of 1, 34 of 2 and one of 3.
  expect(totalDifference([one, other])).toEqual({
    pixels: 100,
    mean: expect.closeTo(1.76, 12),
    p95: expect.closeTo(3, 12),
  });
  // What lies beyond all classes counts in the last.
  const far = new DifferenceTally();
  far.add(1e6);
  expect(totalDifference([far])).toEqual({ pixels: 1, mean: 1e6, p95: 200 });
});
