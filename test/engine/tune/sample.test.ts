import { describe, expect, it } from "vitest";
import { labFromBytes, linearFromLab } from "../../../server/engine/colour/cielab.ts";
import { byteFromLinear, LINEAR_OF_BYTE } from "../../../server/engine/colour/srgb.ts";
import { AROUND, samplePixels, sampleSpecks } from "../../../server/engine/tune/sample.ts";
import { type Pixel, pictureOf } from "../pictures.ts";

const places = ({ x, y }: { x: Uint32Array; y: Uint32Array }, width: number) =>
  Array.from(x, (at, i) => y[i] * width + at);

describe("a sample of pixels", () => {
  const WIDTH = 50;
  /** The last ten rows of forty are clear. */
  const picture = pictureOf(
    WIDTH,
    Array.from(
      { length: WIDTH * 40 },
      (_, i): Pixel => [i % 256, (3 * i) % 256, 90, i < 30 * WIDTH ? 255 : 0],
    ),
  );

  it("is all that is covered at least half, where that is no more", () => {
    const alphas = [255, 128, 127, 0, 200];
    const few = pictureOf(
      5,
      alphas.map((alpha): Pixel => [10, 20, 30, alpha]),
    );
    const sample = samplePixels(few, 3);
    expect([...sample.x]).toEqual([0, 1, 4]);
    expect([...sample.y]).toEqual([0, 0, 0]);
    expect([...sample.alphas]).toEqual([255, 128, 200]);
    expect(samplePixels(few, 2).count).toBe(2);
    expect(samplePixels(pictureOf(1, [[0, 0, 0, 0]]), 3).count).toBe(0);
    expect(samplePixels(pictureOf(1, [[0, 0, 0, 0]]), 0).count).toBe(0);
  });

  it("is of as many as are asked for, each once, spread over what is covered", () => {
    const sample = samplePixels(picture, 150);
    const at = places(sample, WIDTH);
    expect([sample.count, new Set(at).size]).toEqual([150, 150]);
    expect(Math.max(...at)).toBeLessThan(30 * WIDTH);
    // Of each of three bands, a third.
    for (const band of [0, 1, 2])
      expect(Math.abs(at.filter((i) => Math.floor(i / (10 * WIDTH)) === band).length - 50)).toBeLessThan(4);
    expect(places(samplePixels(picture, 150), WIDTH)).toEqual(at);
  });

  it("passes over those that another has", () => {
    const first = new Set(places(samplePixels(picture, 100), WIDTH));
    const others = places(samplePixels(picture, 100, 100), WIDTH);
    expect(others).toHaveLength(100);
    expect(others.filter((i) => first.has(i))).toEqual([]);
    // Where there are not enough for both, they share them all.
    expect(samplePixels(picture, 1000, 500).count).toBe(1500);
    expect(samplePixels(picture, 1000, 499).count).toBe(1000);
  });

  it("is described as the artwork is, and as it looks on a garment", () => {
    const of = pictureOf(2, [
      [200, 90, 60, 255],
      [200, 90, 60, 128],
    ]);
    const sample = samplePixels(of, 5);
    const { L, a, b } = labFromBytes(200, 90, 60);
    for (const i of [0, 1]) {
      expect(sample.colours.L[i]).toBeCloseTo(L, 2);
      expect(sample.colours.a[i]).toBeCloseTo(a, 2);
      expect(sample.colours.b[i]).toBeCloseTo(b, 2);
      expect([...new Uint8Array(sample.words.buffer).slice(4 * i, 4 * i + 4)]).toEqual([
        200,
        90,
        60,
        [255, 128][i],
      ]);
    }
    const garment = { L: 40, a: 10, b: -20 };
    const light = Object.values(linearFromLab(garment));
    const mixed = [200, 90, 60].map((byte, k) =>
      byteFromLinear((128 / 255) * LINEAR_OF_BYTE[byte] + (1 - 128 / 255) * light[k]),
    ) as [number, number, number];
    const seen = sample.on(garment);
    for (const [i, rgb] of [[200, 90, 60] as const, mixed].entries()) {
      const lab = labFromBytes(rgb[0], rgb[1], rgb[2]);
      // A byte's rounding of the garment and of the mixture.
      for (const [k, key] of (["L", "a", "b"] as const).entries())
        expect(Math.abs(seen[3 * i + k] - lab[key])).toBeLessThan(i === 0 ? 0.01 : 0.6);
    }
  });
});

describe("places of specks", () => {
  const [WIDTH, HEIGHT] = [30, 20];
  /** Two pixels to the millimetre: around a place are those one pixel away. */
  const at = (of: (x: number, y: number) => Pixel, perMm = 2, count = 500) => {
    const picture = pictureOf(
      WIDTH,
      Array.from({ length: WIDTH * HEIGHT }, (_, i) => of(i % WIDTH, Math.floor(i / WIDTH))),
    );
    const { sample, shares } = sampleSpecks(picture, perMm, count);
    return { at: places(sample, WIDTH), shares: [...shares] };
  };
  const grey = (v: number): Pixel => [v, v, v];
  const inside = (WIDTH - 2) * (HEIGHT - 2);

  it("are all inside of the rim, each before the four around it, and share all alike where none is unlike", () => {
    const { at: found, shares } = at(() => grey(100), 2, 1000);
    // As many looks as pixels, some of them at the same.
    expect(shares.length).toBeGreaterThan(0.8 * inside);
    expect(new Set(shares)).toEqual(new Set([1 / shares.length]));
    expect(found).toHaveLength(shares.length * (1 + AROUND));
    for (let k = 0; k < found.length; k += 1 + AROUND) {
      const [i, ...around] = found.slice(k, k + 1 + AROUND) as [number, ...number[]];
      expect(around).toEqual([i - 1, i + 1, i - WIDTH, i + WIDTH]);
    }
    const centres = found.filter((_, k) => k % (1 + AROUND) === 0);
    expect(new Set(centres).size).toBe(shares.length);
    for (const i of centres) {
      const [x, y] = [i % WIDTH, Math.floor(i / WIDTH)];
      expect(Math.min(x, y, WIDTH - 1 - x, HEIGHT - 1 - y)).toBeGreaterThanOrEqual(1);
    }
    // The rim itself begins right there.
    const [xs, ys] = [centres.map((i) => i % WIDTH), centres.map((i) => Math.floor(i / WIDTH))];
    expect([Math.min(...xs), Math.max(...xs), Math.min(...ys), Math.max(...ys)]).toEqual([
      1,
      WIDTH - 2,
      1,
      HEIGHT - 2,
    ]);
  });

  it("look half a millimetre around, at least a pixel", () => {
    for (const [perMm, reach] of [
      [0.5, 1],
      [2, 1],
      [6, 3],
    ] as const) {
      const { at: found } = at(() => grey(100), perMm, 1000);
      expect(found[0]! - found[1]!).toBe(reach);
      expect(found[4]! - found[0]!).toBe(reach * WIDTH);
    }
  });

  it("are small where three or four around are unlike, and stand for all that were looked at", () => {
    // A dot, and a line two wide, whose pixels have two unlike neighbours at most but for its end.
    const dot = (x: number, y: number) => x === 8 && y === 5;
    const line = (x: number, y: number) => (x === 20 || x === 21) && y > 4;
    const spike = (x: number, y: number) => x === 14 && y > 9;
    const { at: found, shares } = at(
      (x, y) => grey(dot(x, y) || line(x, y) || spike(x, y) ? 30 : 200),
      2,
      1000,
    );
    const small = shares.flatMap((share, k) =>
      share === 1 / (WIDTH * HEIGHT) ? [found[k * (1 + AROUND)]] : [],
    );
    expect(small.sort((p, q) => p! - q!)).toEqual([5 * WIDTH + 8, 10 * WIDTH + 14]);
    const others = shares.length - 2;
    expect(shares.filter((share) => share === 1 / others)).toHaveLength(others);
  });

  it("are unlike from over 24 steps of a byte away, opacity included", () => {
    const dot = (by: Pixel) => at((x, y) => (x === 8 && y === 5 ? by : [100, 100, 100, 200]), 2, 1000).shares;
    const small = (by: Pixel) => dot(by).some((share) => share === 1 / (WIDTH * HEIGHT));
    expect(small([124, 100, 100, 200])).toBe(false);
    expect(small([125, 100, 100, 200])).toBe(true);
    expect(small([86, 86, 86, 200])).toBe(true);
    expect(small([100, 100, 100, 225])).toBe(true);
    expect(small([100, 100, 100, 180])).toBe(false);
  });

  it("are as many as are asked for", () => {
    const { shares } = at(() => grey(100), 2, 40);
    expect(shares).toEqual(Array(40).fill(1 / 40));
    // Every second pixel is unlike all around: looking ends with as many as are asked for.
    const chequered = at((x, y) => grey((x + y) % 2 === 0 ? 30 : 200), 2, 40);
    expect(chequered.shares).toHaveLength(40);
    expect(new Set(chequered.shares).size).toBe(1);
    expect(1 / chequered.shares[0]!).toBeLessThan(80);
  });
});
