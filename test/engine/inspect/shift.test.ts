import { describe, expect, it } from "vitest";
import { correlation, edgesOfPicture, edgesOfTones, shiftOf } from "../../../server/engine/inspect/shift.ts";
import { random } from "../../property.ts";

const EXTENT = { width: 120, height: 90 };

/** Rectangles of ink, moved by so many pixels. */
function drawn(seed: number, x = 0, y = 0): Uint8Array {
  const next = random(seed);
  const out = new Uint8Array(EXTENT.width * EXTENT.height);
  for (let k = 0; k < 12; k++) {
    const [left, top] = [20 + Math.floor(next() * 70), 15 + Math.floor(next() * 50)];
    const [wide, high] = [4 + Math.floor(next() * 20), 4 + Math.floor(next() * 20)];
    const tone = 80 + Math.floor(next() * 175);
    for (let row = top; row < Math.min(80, top + high); row++)
      out.fill(
        tone,
        (row + y) * EXTENT.width + left + x,
        (row + y) * EXTENT.width + Math.min(105, left + wide) + x,
      );
  }
  return out;
}

describe("a shift between plates", () => {
  it.each([
    [0, 0],
    [3, 0],
    [-5, 2],
    [8, -7],
    [-1, 9],
  ])("is found to the pixel: %d right, %d down", (x, y) => {
    const moved = edgesOfTones(drawn(4, x, y), EXTENT);
    const still = edgesOfTones(drawn(4), EXTENT);
    const shift = shiftOf(moved, still, EXTENT, 10)!;
    expect([shift.x, shift.y]).toEqual([x, y]);
    expect(shift.match).toBeCloseTo(1, 6);
    expect(shift.unmoved).toBeCloseTo(correlation(moved, still, EXTENT, 0, 0), 9);
  });

  it("is where the correlation, worked out plainly for every shift, is greatest", () => {
    for (const seed of [1, 2, 3]) {
      const [a, b] = [edgesOfTones(drawn(seed, 2, -3), EXTENT), edgesOfTones(drawn(seed), EXTENT)];
      let best = { x: 0, y: 0, match: 0 };
      for (let y = -8; y <= 8; y++)
        for (let x = -8; x <= 8; x++) {
          const match = plainly(a, b, x, y);
          if (match > best.match) best = { x, y, match };
        }
      const found = shiftOf(a, b, EXTENT, 8)!;
      expect([found.x, found.y]).toEqual([best.x, best.y]);
      expect(found.match).toBeCloseTo(best.match, 9);
    }
  });

  it("is none where there are no edges", () => {
    const flat = edgesOfTones(new Uint8Array(EXTENT.width * EXTENT.height).fill(128), EXTENT);
    expect(shiftOf(flat, edgesOfTones(drawn(1), EXTENT), EXTENT, 8)).toBeUndefined();
  });
});

it("edges of a picture are those of its strongest channel, opacity included", () => {
  const tones = drawn(5);
  const data = new Uint8Array(tones.length * 4);
  for (let i = 0; i < tones.length; i++) data.set([90, 90, 90, tones[i]!], 4 * i);
  expect(edgesOfPicture({ ...EXTENT, data })).toEqual(edgesOfTones(tones, EXTENT));
});

function plainly(a: Uint8Array, b: Uint8Array, x: number, y: number): number {
  let both = 0;
  for (let row = 0; row < EXTENT.height; row++)
    for (let column = 0; column < EXTENT.width; column++) {
      const [r, c] = [row - y, column - x];
      if (r < 0 || c < 0 || r >= EXTENT.height || c >= EXTENT.width) continue;
      both += a[row * EXTENT.width + column]! * b[r * EXTENT.width + c]!;
    }
  const squares = (of: Uint8Array) => of.reduce((sum, v) => sum + v * v, 0);
  return both / Math.sqrt(squares(a) * squares(b));
}
