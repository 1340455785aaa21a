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
      // Moved, and with as much more that the other one lacks.
      const more = drawn(seed + 50);
      const moved = drawn(seed, 2, -3).map((tone, i) => Math.max(tone, more[i]!));
      const [a, b] = [edgesOfTones(moved, EXTENT), edgesOfTones(drawn(seed), EXTENT)];
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

describe("a shift", () => {
  it("is found where every second edge alone is looked at, since there are many", () => {
    const extent = { width: 260, height: 180 };
    const next = random(3);
    // Noise that is an edge almost everywhere, moved by 3 right and 2 up.
    const noise = Uint8Array.from({ length: extent.width * extent.height }, () => 1 + 250 * next());
    const moved = noise.map((_, i) => {
      const [x, y] = [(i % extent.width) - 3, Math.floor(i / extent.width) + 2];
      return x < 0 || y >= extent.height ? 0 : noise[y * extent.width + x]!;
    });
    const found = shiftOf(moved, noise, extent, 8)!;
    expect([found.x, found.y]).toEqual([3, -2]);
    expect(found.match).toBeGreaterThan(0.95);
    expect(found.match).toBeLessThanOrEqual(1.001);
  });

  it("is the nearest of those that fit equally well", () => {
    // Lines upright, of which every second one fits as well; nothing tells how far down.
    const lines = Uint8Array.from({ length: 120 * 90 }, (_, i) =>
      i % 120 > 30 && i % 120 < 80 && i % 8 === 0 ? 200 : 0,
    );
    expect(shiftOf(lines, lines, EXTENT, 8)).toMatchObject({ x: 0, y: 0 });
    const dots = (...places: readonly number[]) =>
      Uint8Array.from(lines, (_, i) => (places.includes(i - 45 * 120) ? 200 : 0));
    for (const [others, x] of [
      [[38, 43], 2],
      [[42, 37], -2],
    ] as const)
      expect(shiftOf(dots(40), dots(...others), EXTENT, 8)).toMatchObject({
        x,
        y: 0,
        match: expect.closeTo(Math.SQRT1_2, 9),
      });
  });

  it("is of at most so many pixels, rounded up to fours, and four more", () => {
    const dot = (x: number, y: number) => {
      const out = new Uint8Array(EXTENT.width * EXTENT.height);
      out[y * EXTENT.width + x] = 200;
      return out;
    };
    // From the edge of a block of four, so that two blocks are enough for nine.
    for (const [from, x, y] of [
      [40, 9, 0],
      [43, -9, 0],
      [40, 0, 9],
      [43, 0, -9],
    ] as const)
      expect(shiftOf(dot(from + x, from + y), dot(from, from), EXTENT, 5)).toMatchObject({
        x,
        y,
        match: 1,
        unmoved: 0,
      });
    expect(shiftOf(dot(60, 40), dot(40, 40), EXTENT, 5)).toBeUndefined();
  });
});

it("correlates edges up to the borders, at any shift", () => {
  const next = random(19);
  const noise = () =>
    Uint8Array.from({ length: EXTENT.width * EXTENT.height }, () => (next() < 0.3 ? 255 * next() : 0));
  const [a, b] = [noise(), noise()];
  for (const [x, y] of [
    [0, 0],
    [3, -2],
    [-7, 5],
    [119, 0],
    [0, -89],
    [-119, 89],
    [130, 0],
  ] as const)
    expect(correlation(a, b, EXTENT, x, y), `${x}, ${y}`).toBeCloseTo(plainly(a, b, x, y), 12);
});

it("edges are the greatest step to the right and down, from 40 on, and none in the last row and column", () => {
  const tones = Uint8Array.of(100, 139, 100, 0, 60, 100, 60, 60, 20, 60, 200, 0);
  expect([...edgesOfTones(tones, { width: 4, height: 3 })]).toEqual([
    40, 0, 100, 0, 40, 40, 140, 0, 0, 0, 0, 0,
  ]);
});

it.each([0, 1, 2, 3])("edges of a picture are those of its strongest channel: %i", (channel) => {
  const next = random(channel);
  const extent = { width: 9, height: 7 };
  const tones = Uint8Array.from({ length: 63 }, () => 256 * next());
  const data = new Uint8Array(tones.length * 4);
  for (let i = 0; i < tones.length; i++)
    data.set(
      [0, 1, 2, 3].map((c) => (c === channel ? tones[i]! : 90)),
      4 * i,
    );
  expect(edgesOfPicture({ ...extent, data })).toEqual(edgesOfTones(tones, extent));
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
