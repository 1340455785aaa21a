import sharp from "sharp";
import { describe, expect, it } from "vitest";
import { blockSteps, smoothed } from "../../../server/engine/areas/smooth.ts";
import type { Picture } from "../../../server/engine/raster.ts";

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

  it("is the mean of what is alike, and leaves what is clear and alpha alone", () => {
    // Three in a row: 10 and 14 are alike, 200 is not; the clear one counts for nothing.
    const data = Uint8Array.of(10, 10, 10, 255, 14, 14, 14, 128, 200, 200, 200, 255, 12, 12, 12, 0);
    expect([...smoothed({ width: 4, height: 1, data }, 5).data]).toEqual([
      12, 12, 12, 255, 12, 12, 12, 128, 200, 200, 200, 255, 12, 12, 12, 0,
    ]);
  });
});
