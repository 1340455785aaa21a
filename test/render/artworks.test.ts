import { readFileSync, rmSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import sharp from "sharp";
import { describe, expect, it } from "vitest";
import { ArtworkError } from "../../server/artwork/artwork.ts";
import { OUTSIDE } from "../../server/language/outside.ts";
import {
  lowResolutionArtwork,
  PREVIEW_PIXELS,
  previewArtwork,
  sharperArtwork,
} from "../../server/render/artworks.ts";
import { StageCache } from "../../server/render/stage-cache.ts";
import { scratch } from "../output/folders.ts";

const { fresh } = scratch();
const cacheOf = () => new StageCache(1e8);

async function picture(width: number, height: number, background = "#d8431f"): Promise<string> {
  const file = join(fresh(), "art.png");
  await sharp({ create: { width, height, channels: 3, background } })
    .png()
    .toFile(file);
  return file;
}

/** A square inch. */
function drawing(): string {
  const file = join(fresh(), "art.svg");
  writeFileSync(
    file,
    '<svg xmlns="http://www.w3.org/2000/svg" width="25.4mm" height="25.4mm" viewBox="0 0 1 1"><rect width="1" height="1" fill="#d8431f"/></svg>',
  );
  return file;
}

const sizeOf = ({ artwork }: { artwork: { picture: { width: number; height: number }; ppi: number } }) => [
  artwork.picture.width,
  artwork.picture.height,
  Math.round(artwork.ppi),
];

describe("artwork at preview size", () => {
  it("is not read from beyond the boundary, though it was read while that stood open", async () => {
    const [cache, file] = [cacheOf(), await picture(40, 30)];
    await previewArtwork(cache, { file }, 50.8);
    await expect(previewArtwork(cache, { file, within: [fresh()] }, 50.8)).rejects.toThrow(OUTSIDE);
  });

  it("has a picture's own pixels where they are few", async () => {
    expect(sizeOf(await previewArtwork(cacheOf(), { file: await picture(400, 300) }, 50.8))).toEqual([
      400, 300, 200,
    ]);
  });

  it("has about a million of a larger picture, and of any drawing", async () => {
    const large = await previewArtwork(cacheOf(), { file: await picture(2400, 1600) }, 50.8);
    const drawn = await previewArtwork(cacheOf(), { file: drawing() }, 25.4);
    for (const { artwork } of [large, drawn]) {
      const { width, height } = artwork.picture;
      expect((width * height) / PREVIEW_PIXELS).toBeGreaterThan(0.99);
      expect((width * height) / PREVIEW_PIXELS).toBeLessThan(1.01);
    }
  });

  it("is another for another print width, and known by its pixels, their layout and their resolution", async () => {
    const cache = cacheOf();
    const file = await picture(400, 300);
    const [wide, narrow] = [
      await previewArtwork(cache, { file }, 50.8),
      await previewArtwork(cache, { file }, 25.4),
    ];
    expect([sizeOf(wide), sizeOf(narrow)]).toEqual([
      [400, 300, 200],
      [400, 300, 400],
    ]);
    expect([wide.artwork.info.heightMm, narrow.artwork.info.heightMm]).toEqual([
      expect.closeTo(38.1, 6),
      expect.closeTo(19.05, 6),
    ]);
    // The same bytes: twelve pixels of one colour, at the same resolution.
    const lying = await previewArtwork(cache, { file: await picture(4, 3) }, 4);
    const standing = await previewArtwork(cache, { file: await picture(3, 4) }, 3);
    expect(new Set([wide, narrow, lying, standing].map(({ key }) => key)).size).toBe(4);
    expect((await previewArtwork(cache, { file: await picture(4, 3) }, 4)).key).toBe(lying.key);
  });

  it("of a commit is read from what is stored, once, under its own key", async () => {
    const cache = cacheOf();
    const [file, other] = [await picture(40, 30), await picture(20, 30)];
    let reads = 0;
    const read = async () => {
      reads++;
      return readFileSync(other);
    };
    const stored = { file, stored: { key: "blob 1", read } };
    const [committed, now] = [
      await previewArtwork(cache, stored, 20),
      await previewArtwork(cache, { file }, 20),
    ];
    expect([committed.artwork.picture.width, now.artwork.picture.width]).toEqual([20, 40]);
    const before = reads;
    rmSync(file);
    expect((await previewArtwork(cache, stored, 20)).key).toBe(committed.key);
    expect(reads).toBe(before);
  });

  it("that is not there is told, and read as soon as it is", async () => {
    const cache = cacheOf();
    const file = join(fresh(), "art.png");
    await expect(previewArtwork(cache, { file }, 20)).rejects.toThrow(ArtworkError);
    await sharp(await picture(40, 30)).toFile(file);
    expect((await previewArtwork(cache, { file }, 20)).artwork.picture.width).toBe(40);
  });
});

describe("artwork at low resolution", () => {
  it("has a hundred thousand pixels of the same print, where that saves half of them or more", async () => {
    const cache = cacheOf();
    const whole = await previewArtwork(cache, { file: await picture(1000, 1000) }, 50.8);
    const small = (await lowResolutionArtwork(cache, whole))!;
    expect(sizeOf(small)).toEqual([316, 316, 158]);
    expect(small.key).not.toBe(whole.key);
    const [just, hardly] = [
      await previewArtwork(cache, { file: await picture(453, 453) }, 50.8),
      await previewArtwork(cache, { file: await picture(450, 450) }, 50.8),
    ];
    expect(await lowResolutionArtwork(cache, just)).toBeDefined();
    expect(await lowResolutionArtwork(cache, hardly)).toBeUndefined();
  });
});

describe("sharper artwork", () => {
  it("is as fine as wished, as the picture is, or as so many pixels are, whichever is least", async () => {
    const cache = cacheOf();
    const file = await picture(800, 800);
    // Two inches wide: 400 ppi of its own.
    const at = async (ppi: number, most: number) =>
      sizeOf(await sharperArtwork(cache, { file }, 50.8, ppi, most))[2];
    expect([await at(100, 1e7), await at(900, 1e7), await at(900, 40_000)]).toEqual([100, 400, 100]);
    const half = await sharperArtwork(cache, { file }, 25.4, 100, 1e7);
    expect(sizeOf(half)).toEqual([100, 100, 100]);
  });

  it("of a drawing is no finer than a garment shows", async () => {
    const file = drawing();
    const at = async (ppi: number) => sizeOf(await sharperArtwork(cacheOf(), { file }, 25.4, ppi, 1e7));
    expect(await at(900)).toEqual([300, 300, 300]);
    expect(await at(150)).toEqual([150, 150, 150]);
  });
});
