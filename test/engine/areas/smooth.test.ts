import sharp from "sharp";
import { describe, expect, it } from "vitest";
import { blockSteps, smoothed } from "../../../server/engine/areas/smooth.ts";
import type { Picture } from "../../../server/engine/raster.ts";
import { random } from "../../property.ts";

/** A soft gradient with a hard edge down its middle, as JPEG of a quality. */
async function jpeg(quality: number): Promise<Picture> {
  const [width, height] = [160, 120];
  const data = Buffer.alloc(width * height * 3);
  for (let i = 0; i < width * height; i++) {
    const [x, y] = [i % width, Math.floor(i / width)];
    data.set(x < 80 ? [90 + x * 0.5, 60 + y * 0.4, 50] : [200, 180 + y * 0.3, 150 + x * 0.2], i * 3);
  }
  const file = await sharp(data, { raw: { width, height, channels: 3 } })
    .jpeg({ quality })
    .toBuffer();
  return { width, height, data: new Uint8Array(await sharp(file).ensureAlpha().raw().toBuffer()) };
}

describe("smoothing", () => {
  it("takes two thirds of the steps between compression's blocks, and no edge", async () => {
    const before = await jpeg(20);
    const after = smoothed(before, 12);
    expect(blockSteps(before).ratio).toBeGreaterThan(2);
    expect(blockSteps(after).height).toBeLessThan(blockSteps(before).height / 3);
    const contrast = ({ data, width }: Picture) => {
      let sum = 0;
      for (let y = 10; y < 110; y++) sum += data[4 * (y * width + 84)]! - data[4 * (y * width + 75)]!;
      return sum / 100;
    };
    expect(Math.abs(contrast(after) - contrast(before))).toBeLessThan(4);
  });

  it("finds no blocks where there are none", async () => {
    const { ratio, height } = blockSteps(await jpeg(100));
    expect(Math.min(ratio / 1.25, height)).toBeLessThan(1);
  });

  it("tells steps of luma between blocks of eight from those inside, and takes edges for neither", () => {
    // Steps inside are 2, at 8 and 16 they are 7; at 12 an edge of 30.
    const levels = Array.from({ length: 24 }, (_, x) =>
      x > 0 && x % 8 === 0 ? 7 : x === 12 ? 30 : x > 0 ? 2 : 0,
    );
    let level = 20;
    const row = levels.flatMap((step) => {
      level += step;
      return [level, level, level, 255];
    });
    const { ratio, height } = blockSteps({ width: 24, height: 2, data: Uint8Array.from([...row, ...row]) });
    expect([ratio, height]).toEqual([expect.closeTo(3.5, 9), expect.closeTo(7, 9)]);
    // ITU-R BT.601: 0.299 of red, 0.587 of green, 0.114 of blue.
    const jump = (r: number, g: number, b: number) => {
      const data = new Uint8Array(4 * 9);
      data.set([r, g, b, 255], 4 * 8);
      return blockSteps({ width: 9, height: 1, data }).height;
    };
    expect([jump(40, 0, 0), jump(0, 40, 0), jump(0, 0, 40)]).toEqual(
      [11.96, 23.48, 4.56].map((v) => expect.closeTo(v, 9)),
    );
    expect([jump(24, 24, 24), jump(25, 25, 25)]).toEqual([expect.closeTo(24, 9), 0]);
    expect(blockSteps({ width: 1, height: 1, data: new Uint8Array(4) })).toEqual({ ratio: 0, height: 0 });
    // Where nothing steps inside, a twentieth of a byte counts.
    const data = new Uint8Array(4 * 9);
    data.set([1, 1, 1, 255], 4 * 8);
    expect(blockSteps({ width: 9, height: 1, data }).ratio).toBeCloseTo(20, 9);
  });

  it("is the mean of what is alike, and leaves what is clear and alpha alone", () => {
    // Three in a row: 10 and 14 are alike, 200 is not; the clear one counts for nothing.
    const data = Uint8Array.of(10, 10, 0, 255, 14, 14, 0, 128, 200, 200, 200, 255, 12, 12, 12, 0);
    expect([...smoothed({ width: 4, height: 1, data }, 5).data]).toEqual([
      12, 12, 0, 255, 12, 12, 0, 128, 200, 200, 200, 255, 12, 12, 12, 0,
    ]);
  });

  it("is done twice, of what lies up to two pixels away and differs by so much at most in each channel", () => {
    const next = random(9);
    const [width, height, by] = [11, 9, 20];
    const data = Uint8Array.from({ length: 4 * width * height }, (_, k) =>
      k % 4 === 3 ? (next() < 0.1 ? 0 : 255) : 100 + 50 * next(),
    );
    const once = (from: Uint8Array) => {
      const pixels = Array.from({ length: width * height }, (_, i) => [...from.subarray(4 * i, 4 * i + 4)]);
      return Uint8Array.from(
        pixels.flatMap((pixel, i) => {
          const alike = pixels.filter(
            (other, j) =>
              Math.abs((j % width) - (i % width)) <= 2 &&
              Math.abs(Math.floor(j / width) - Math.floor(i / width)) <= 2 &&
              other[3] !== 0 &&
              [0, 1, 2].every((c) => Math.abs(other[c]! - pixel[c]!) <= by),
          );
          if (pixel[3] === 0) return pixel;
          const mean = (c: number) => alike.reduce((sum, other) => sum + other[c]!, 0) / alike.length;
          return [Math.round(mean(0)), Math.round(mean(1)), Math.round(mean(2)), pixel[3]!];
        }),
      );
    };
    expect(smoothed({ width, height, data }, by).data).toEqual(once(once(data)));
  });
});
