import { readFileSync, rmSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import sharp from "sharp";
import { describe, expect, it } from "vitest";
import { type Artwork, ArtworkError } from "../../server/artwork/artwork.ts";
import { OUTSIDE } from "../../server/language/outside.ts";
import {
  type KeyedArtwork,
  lowResolutionArtwork,
  PREVIEW_PIXELS,
  preparedArtwork,
  previewArtwork,
  sharperArtwork,
  viewed,
} from "../../server/render/artworks.ts";
import { StageCache } from "../../server/render/stage-cache.ts";
import { scratch } from "../output/folders.ts";
import { recipeOf } from "./jobs.ts";

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

describe("what an artwork carries with its pixels, at low resolution", () => {
  const [width, height] = [600, 400];
  /** Another byte at each place. */
  const marked = (by: number) =>
    Uint8Array.from({ length: width * height }, (_, i) => (i * by + Math.floor(i / width)) & 255);
  const keyed = (more: object, given?: ReadonlyMap<string, string>): KeyedArtwork => ({
    key: "whole",
    artwork: {
      picture: { width, height, data: new Uint8Array(width * height * 4).fill(255), ...more },
      ppi: 100,
      info: undefined as never,
      notes: [],
    },
    ...(given ? { given } : {}),
  });
  /** Of each pixel the one that lies under its middle. */
  const picked = (of: Uint8Array, small: { readonly width: number; readonly height: number }) =>
    Uint8Array.from({ length: small.width * small.height }, (_, i) => {
      const [x, y] = [i % small.width, Math.floor(i / small.width)];
      const row = Math.floor(((y + 0.5) / small.height) * height);
      return of[row * width + Math.floor(((x + 0.5) / small.width) * width)]!;
    });

  it("is what lies in the middle of each pixel", async () => {
    const colours = Uint8Array.of(1, 2, 3, 255, 0, 0, 0, 0);
    const areas = { colours, first: marked(7), second: marked(11), share: marked(13) };
    const given = new Map([["ember", marked(3)]]);
    const squares = marked(5);
    const whole = keyed({ areas, given, squares }, new Map([["ember", "tones 1"]]));
    const small = (await lowResolutionArtwork(cacheOf(), whole))!;
    const { picture } = small.artwork;
    expect([picture.width, picture.height]).toEqual([387, 258]);
    expect(picture.squares).toEqual(picked(squares, picture));
    expect(picture.given!.get("ember")).toEqual(picked(given.get("ember")!, picture));
    expect(picture.areas).toEqual({
      colours,
      first: picked(areas.first, picture),
      second: picked(areas.second, picture),
      share: picked(areas.share, picture),
    });
    expect([...small.given!.keys()]).toEqual(["ember"]);
    expect(small.given!.get("ember")).not.toBe("tones 1");
  });

  it("is nothing where there is nothing, and is known by the plates that came from files too", async () => {
    const { artwork, given, key } = (await lowResolutionArtwork(cacheOf(), keyed({})))!;
    const { areas, squares, given: tones } = artwork.picture;
    expect([given, areas, squares, tones]).toEqual(Array(4).fill(undefined));
    const cache = cacheOf();
    const keyOfTones = async (tones: string) => {
      const whole = keyed({ given: new Map([["ember", marked(3)]]) }, new Map([["ember", tones]]));
      const small = (await lowResolutionArtwork(cache, whole))!;
      return [small.key, small.given!.get("ember")];
    };
    const [one, other] = [await keyOfTones("tones 1"), await keyOfTones("tones 2")];
    expect(await keyOfTones("tones 1")).toEqual(one);
    expect(new Set([key, one[0], other[0]]).size).toBe(3);
    expect(one[1]).not.toBe(other[1]);
  });
});

describe("artwork made ready for its plates", () => {
  const plain = (data: number[]): Artwork => ({
    picture: { width: data.length / 4, height: 1, data: Uint8Array.from(data) },
    ppi: 25.4,
    info: undefined as never,
    notes: [],
  });
  const white = [255, 255, 255, 255];
  const red = [216, 67, 31, 255];

  it("is itself where nothing is to be done", () => {
    const artwork = plain([...white, ...red]);
    expect(preparedArtwork(artwork, undefined)).toBe(artwork);
  });

  it("has lost its background, and tells how much of it was cut", () => {
    const background = { rgb: [255, 255, 255], within: 4, enclosed: "kept" } as const;
    const { picture, cut } = preparedArtwork(plain([...white, ...white, ...red]), { background });
    expect([3, 7, 11].map((i) => picture.data[i])).toEqual([0, 0, 255]);
    expect(Object.keys(cut!).sort()).toEqual(["enclosed", "enclosedCut", "page"]);
    const flat = { colours: [[216, 67, 31]], speckMm: 0 } as const;
    expect(preparedArtwork(plain([...red]), { flat }).cut).toBeUndefined();
  });
});

describe("which part of a file is meant", () => {
  const recipe = recipeOf({});
  const source = { file: "a.pdf" };

  it("is the recipe's page, else all of it", () => {
    expect(viewed(source, recipe)).toEqual({ file: "a.pdf", view: undefined });
    const paged = { ...recipe, artwork: { ...recipe.artwork, view: { page: 2 } } };
    expect(viewed(source, paged)).toEqual({ file: "a.pdf", view: { page: 2 } });
  });

  it("is the plate that the artwork is made of", () => {
    const made = recipeOf({
      plates: "  base: { ink: white, extract: { plate: base.png } }\n",
      order: "base",
    });
    const of = { ...made, artwork: { ...made.artwork, madeOf: "base", view: { page: 2 } } };
    expect(viewed(source, of).view).toEqual({ plate: made.plates.get("base")!.given });
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
