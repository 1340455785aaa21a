import { writeFileSync } from "node:fs";
import { join } from "node:path";
import sharp from "sharp";
import { describe, expect, it } from "vitest";
import { measure } from "../../server/render/measure.ts";
import { StageCache } from "../../server/render/stage-cache.ts";
import { thumbnail } from "../../server/render/thumbnail.ts";
import { scratch } from "../output/folders.ts";
import { recipeOf } from "./jobs.ts";

const { fresh } = scratch();
const size = async (uri: string) => {
  const { width, height } = await sharp(Buffer.from(uri.split(",")[1]!, "base64")).metadata();
  return [width, height];
};

describe("measured plates", () => {
  it("count a tone to the tenth that it stands in, of 255", async () => {
    const file = join(fresh(), "art.png");
    await sharp({ create: { width: 8, height: 8, channels: 3, background: "#d8431f" } })
      .png()
      .toFile(file);
    for (const [percent, tenth] of [
      [10, 1],
      [19.4, 1],
      [20, 2],
      [60, 6],
      [80, 8],
      [99, 9],
      [100, 9],
    ] as const) {
      const recipe = recipeOf({
        plates:
          "  base: { ink: white, extract: { artwork: opaque } }\n  ember: { ink: ember, extract: { artwork: opaque } }\n",
        more: `screening: { smallest-dot: 0% }\nadjust: [{ plate: ember, curve: [[0, 0], [100, ${percent}]] }]\n`,
      });
      const { histogram, coverage } = (await measure(recipe, { file }, new StageCache(1e8))).plates.get(
        "ember",
      )!;
      // The tone is a byte; 255 counts to the uppermost tenth.
      const tone = Math.round(percent * 2.55);
      expect(coverage).toBeCloseTo(tone / 255, 9);
      expect(histogram.indexOf(1), `${percent} %`).toBe(Math.min(9, Math.floor((tone * 10) / 255)));
      expect(histogram.indexOf(1)).toBe(tenth);
    }
  });

  it("of a drawing have no resolution to be judged", async () => {
    const file = join(fresh(), "art.svg");
    writeFileSync(
      file,
      '<svg xmlns="http://www.w3.org/2000/svg" width="25.4mm" height="12.7mm" viewBox="0 0 2 1"><rect width="2" height="1" fill="#d8431f"/></svg>',
    );
    const { artworkPpi, plates } = await measure(recipeOf({}), { file }, new StageCache(1e8));
    expect(artworkPpi).toBeUndefined();
    expect(plates.get("ember")!.coverage).toBe(1);
  });
});

describe("measured traps", () => {
  it("name the pairs that touch, how far one is spread under the other, and along which length", async () => {
    const file = join(fresh(), "art.png");
    // Red on the left, green on the right, 60 × 100 pixels; 1 in wide, the edge is 100 / 60 in long.
    const pixels = Buffer.alloc(60 * 100 * 3);
    for (let i = 0; i < 6000; i++) pixels.set(i % 60 < 30 ? [216, 67, 31] : [30, 90, 60], 3 * i);
    await sharp(pixels, { raw: { width: 60, height: 100, channels: 3 } })
      .png()
      .toFile(file);
    const recipe = recipeOf({
      plates:
        '  pale: { ink: white, extract: { near: "#1e5a3c", within: 10 } }\n  ember: { ink: ember, extract: { near: "#d8431f", within: 10 } }\n',
      order: "pale, ember",
      more: "traps: [{ neighbours: 0.2 mm }]\n",
    });
    const { trapped } = await measure(recipe, { file }, new StageCache(1e8));
    expect(trapped).toEqual([{ plate: "pale", under: "ember", trapMm: 0.2, lengthMm: expect.any(Number) }]);
    const heightMm = (recipe.artwork.widthMm * 100) / 60;
    expect(Math.abs(trapped![0]!.lengthMm / heightMm - 1)).toBeLessThan(0.05);
  });
});

describe("a thumbnail", () => {
  it("is at most 160 pixels wide and high, in proportion, and never enlarged", async () => {
    const of = async (width: number, height: number) =>
      size(await thumbnail(new Uint8Array(width * height), width, height));
    expect([await of(80, 40), await of(640, 320), await of(320, 640)]).toEqual([
      [80, 40],
      [160, 80],
      [80, 160],
    ]);
  });

  it("is black where the plate is solid", async () => {
    const uri = await thumbnail(Uint8Array.of(255, 0, 51, 204), 2, 2);
    const { data, info } = await sharp(Buffer.from(uri.split(",")[1]!, "base64"))
      .raw()
      .toBuffer({ resolveWithObject: true });
    expect([0, 1, 2, 3].map((i) => data[i * info.channels])).toEqual([0, 255, 204, 51]);
  });
});
