import { join } from "node:path";
import sharp from "sharp";
import { describe, expect, it } from "vitest";
import type { Artwork } from "../../server/artwork/artwork.ts";
import { type GivenFile, plateSources, readGiven, withGiven } from "../../server/render/plate-sources.ts";
import { scratch } from "../output/folders.ts";
import { recipeOf } from "./jobs.ts";

const { fresh } = scratch();
const [WIDTH, HEIGHT] = [4, 2];
const artwork = { picture: { width: WIDTH, height: HEIGHT, data: new Uint8Array(32) }, ppi: 100 } as Artwork;

/** Black is solid: a plate of these tones as a grey picture. */
async function plateFile(tones: readonly number[], name = "plate.png"): Promise<string> {
  const file = join(fresh(), name);
  const grey = Uint8Array.from(tones, (tone) => 255 - tone);
  await sharp(grey, { raw: { width: WIDTH, height: HEIGHT, channels: 1 } })
    .toColourspace("b-w")
    .png()
    .toFile(file);
  return file;
}
const LEFT = [255, 255, 0, 0, 255, 255, 0, 0];
const RIGHT = [0, 0, 255, 255, 0, 0, 255, 255];
const VIEW = { page: undefined, channel: undefined, colorant: undefined, solid: undefined, screened: false };

/** What is read, with the keys that it is kept under. */
async function given(plates: Parameters<typeof readGiven>[0]["plates"]) {
  const kept: string[] = [];
  const keep = (key: readonly unknown[], read: () => Promise<GivenFile>) => {
    kept.push(JSON.stringify(key));
    return read();
  };
  return { kept, read: (await readGiven({ plates }, artwork, keep))! };
}

describe("the files that plates come from", () => {
  it("are those of plates that come from files, each where its path means, with what is said of it", async () => {
    const recipe = recipeOf({
      plates: `  base: { ink: white, extract: { plate: a/base.tif, channel: 2 } }
  ember: { ink: ember, extract: { artwork: opaque } }
  rose: { ink: ember, extract: { plate: rose.pdf, page: 3, screened: true } }
`,
      order: "base, ember, rose",
    });
    expect(await plateSources(recipe, async (path) => ({ file: `/there/${path}` }))).toEqual([
      { file: "/there/a/base.tif", name: "base", view: { ...VIEW, channel: 2 } },
      { file: "/there/rose.pdf", name: "rose", view: { ...VIEW, page: 3, screened: true } },
    ]);
  });
});

describe("plates from files", () => {
  it("are none where there is none", async () => {
    expect(await readGiven({}, artwork, (_, read) => read())).toBeUndefined();
    expect(await readGiven({ plates: [] }, artwork, (_, read) => read())).toBeUndefined();
  });

  it("have their tones by name, what their file is, and keys by their tones", async () => {
    const [left, right, same] = [await plateFile(LEFT), await plateFile(RIGHT), await plateFile(LEFT)];
    const { read, kept } = await given([
      { file: left, name: "a", view: VIEW },
      { file: right, name: "b", view: VIEW },
      { file: same, name: "c", view: VIEW },
    ]);
    expect([...read.tones].map(([name, tones]) => [name, [...tones]])).toEqual([
      ["a", LEFT],
      ["b", RIGHT],
      ["c", LEFT],
    ]);
    expect([...read.infos.keys()]).toEqual(["a", "b", "c"]);
    expect(read.infos.get("a")).toMatchObject({ width: WIDTH, height: HEIGHT });
    expect(read.keys.get("c")).toBe(read.keys.get("a"));
    expect(read.keys.get("b")).not.toBe(read.keys.get("a"));
    expect(new Set(kept).size).toBe(3);
  });

  it("are read together where they are of one file and page", async () => {
    const file = await plateFile(LEFT);
    const { read, kept } = await given([
      { file, name: "a", view: VIEW },
      { file, name: "b", view: { ...VIEW, solid: "white" } },
    ]);
    expect(kept).toHaveLength(1);
    expect([...read.tones.get("b")!]).toEqual(RIGHT);
    const paged = await given([
      { file, name: "a", view: VIEW },
      { file, name: "b", view: { ...VIEW, page: 1 } },
    ]);
    expect(paged.kept).toHaveLength(2);
  });

  it("are kept under what they were read of: the file's state, what is said of it, the picture's size", async () => {
    const file = await plateFile(LEFT);
    const of = async (view: object, size = { width: WIDTH, height: HEIGHT }, key?: string) => {
      const keys: string[] = [];
      const read = async () => ({ read: async () => undefined });
      const stored = key === undefined ? {} : { stored: { key, ...(await read()) } };
      const art = { ...artwork, picture: { ...artwork.picture, ...size } };
      await readGiven(
        { plates: [{ file, name: "a", view: { ...VIEW, ...view }, ...stored } as never] },
        art,
        (kept) => {
          keys.push(JSON.stringify(kept));
          return Promise.resolve({ tones: [new Uint8Array(8)], keys: ["k"], info: {} } as never);
        },
      );
      return keys[0];
    };
    const all = [
      await of({}),
      await of({ solid: "white" }),
      await of({}, { width: 8, height: HEIGHT }),
      await of({}, { width: WIDTH, height: 4 }),
      await of({}, undefined, "blob 1"),
    ];
    expect(new Set(all).size).toBe(all.length);
    expect(await of({})).toBe(all[0]);
  });

  it("stand beside the artwork", async () => {
    const { read } = await given([{ file: await plateFile(LEFT), name: "a", view: VIEW }]);
    const { picture, plates, ...rest } = withGiven(artwork, read);
    expect(picture).toEqual({ ...artwork.picture, given: read.tones });
    expect([plates, rest]).toEqual([read.infos, { ppi: 100 }]);
  });
});
