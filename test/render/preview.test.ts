import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { inflateRawSync } from "node:zlib";
import sharp from "sharp";
import { describe, expect, it } from "vitest";
import { readArtwork } from "../../server/artwork/artwork.ts";
import type { SeparationPlan } from "../../server/engine/plan.ts";
import { separate } from "../../server/engine/separate.ts";
import { preview } from "../../server/render/preview.ts";
import { StageCache } from "../../server/render/stage-cache.ts";
import { keysOf } from "../../server/wire/preview.ts";
import { scratch } from "../output/folders.ts";
import { random } from "../property.ts";
import { withDifference } from "../wire/with-difference.ts";

const { fresh } = scratch();
const WIDTH_MM = 50.8;

/** 400 × 300 pixels on two inches: 200 ppi; blobs of a few colours. */
async function artwork(): Promise<string> {
  const next = random(11);
  const small = Uint8Array.from({ length: 20 * 15 * 3 }, () => Math.floor(next() * 256));
  const file = join(fresh(), "art.png");
  await sharp(small, { raw: { width: 20, height: 15, channels: 3 } })
    .resize(400, 300, { kernel: "cubic" })
    .png()
    .toFile(file);
  return file;
}

const plan: SeparationPlan = {
  plates: [
    { name: "base", extract: { by: "artwork" }, strength: { by: "flat" } },
    { name: "dark", extract: { by: "lightness", from: 0, to: 40, fade: 10 }, strength: { by: "flat" } },
    { name: "warm", extract: { by: "hue", from: 0, to: 90, fade: 20 }, strength: { by: "flat" } },
    { name: "none", extract: { by: "opacity", from: 0, to: 10, fade: 0 }, strength: { by: "flat" } },
  ],
  adjustments: [
    {
      plate: "warm",
      curve: [
        [0, 0],
        [1, 0.5],
      ],
      region: { shape: "ellipse", centre: [25, 19], radii: [12, 9], feather: 4 },
    },
  ],
  merges: [],
  knockouts: [{ from: "base", where: "dark", choke: 0.3 }],
  traps: [{ plate: "base", way: "choke", distance: 0.25 }],
  smallestDot: 0.04,
};

const bytesOf = (packed: Uint8Array | undefined) => new Uint8Array(inflateRawSync(packed!));
const ask = (file: string, more: object = {}, cache = new StageCache(1e8)) =>
  preview({ plan, widthMm: WIDTH_MM, source: { file }, held: { plates: {} }, ...more }, cache);

async function whole(file: string): Promise<Map<string, Uint8Array>> {
  const { picture, ppi } = await readArtwork(file, { widthMm: WIDTH_MM });
  const plates = new Map<string, Uint8Array>();
  for (const step of separate(picture, ppi / 25.4, plan))
    if (typeof step !== "number") plates.set(step.name, step.tones);
  return plates;
}

describe("a preview", () => {
  it("holds the artwork and the plates of `separate`, byte for byte", async () => {
    const file = await artwork();
    const { artwork: art, plates } = await ask(file);
    const { picture } = await readArtwork(file, { widthMm: WIDTH_MM });
    expect([art.width, art.height, art.ppi, art.heightMm]).toEqual([400, 300, 200, 38.1]);
    expect(bytesOf(art.bytes)).toEqual(picture.data);
    const expected = await whole(file);
    expect(plates.map(({ name }) => name)).toEqual(["base", "dark", "warm", "none"]);
    for (const { name, bytes } of plates) expect(bytesOf(bytes), name).toEqual(expected.get(name));
  });

  it("sends only what is not held", async () => {
    const file = await artwork();
    const cache = new StageCache(1e8);
    const first = await ask(file, {}, cache);
    const again = await ask(file, { held: keysOf(first) }, cache);
    expect([again.artwork.bytes, ...again.plates.map(({ bytes }) => bytes)]).toEqual(
      Array(5).fill(undefined),
    );
    const warm = { ...plan, adjustments: [] };
    const changed = await ask(file, { plan: warm, held: keysOf(first) }, cache);
    expect(changed.plates.filter(({ bytes }) => bytes).map(({ name }) => name)).toEqual(["warm"]);
  });

  it("sends of a plate that changed what differs from the one that is held, as long as that is in the cache", async () => {
    const file = await artwork();
    const cache = new StageCache(1e8);
    const first = await ask(file, {}, cache);
    const warm = { ...plan, adjustments: [] };
    const tones = bytesOf((await ask(file, { plan: warm })).plates[2]!.bytes);
    const { bytes, differsFrom } = (await ask(file, { plan: warm, held: keysOf(first) }, cache)).plates[2]!;
    expect(differsFrom).toBe(first.plates[2]!.key);
    expect(withDifference(bytesOf(first.plates[2]!.bytes), bytes!)).toEqual(tones);
    const held = { ...keysOf(first), artwork: "another" };
    expect((await ask(file, { plan: warm, held }, cache)).plates[2]!.differsFrom).toBeUndefined();
    const forgotten = (await ask(file, { plan: warm, held: keysOf(first) })).plates[2]!;
    expect(forgotten.differsFrom).toBeUndefined();
    expect(bytesOf(forgotten.bytes)).toEqual(tones);
  });

  it("shows fewer pixels first, of the same print, and all of it once there is more", async () => {
    const file = join(fresh(), "large.png");
    await sharp(await artwork())
      .resize(1200, 900)
      .png()
      .toFile(file);
    const cache = new StageCache(1e8);
    const small = await ask(file, { lowResolution: true }, cache);
    expect(small.lowResolution).toBe(true);
    const { width, height, ppi, heightMm } = small.artwork;
    expect([width, height, heightMm]).toEqual([365, 274, 38.1]);
    expect(ppi).toBeCloseTo(365 / 2, 9);
    const whole = await ask(file, { held: keysOf(small) }, cache);
    expect([whole.lowResolution, whole.artwork.width]).toEqual([undefined, 1155]);
    for (const [i, { name, figures, bytes }] of small.plates.entries()) {
      expect(bytesOf(bytes), name).toHaveLength(365 * 274);
      expect(Math.abs(figures.coverage - whole.plates[i]!.figures.coverage), name).toBeLessThan(0.02);
      expect(whole.plates[i]!.bytes, name).toBeDefined();
    }
    const again = await ask(file, { lowResolution: true }, cache);
    expect([again.lowResolution, again.artwork.width]).toEqual([undefined, 1155]);
  });

  it("is itself where low resolution would have hardly fewer pixels", async () => {
    const { lowResolution, artwork: art } = await ask(await artwork(), { lowResolution: true });
    expect([lowResolution, art.width]).toEqual([undefined, 400]);
  });

  it("given up while the artwork is decoded, leaves it to who asks next", async () => {
    const file = await artwork();
    const cache = new StageCache(1e8);
    const asked = new AbortController();
    let reads = 0;
    const read = async () => {
      // First for what the file is, then for its pixels.
      if (++reads === 2) asked.abort(new Error("given up"));
      return readFileSync(file);
    };
    const source = { file, stored: { key: "a commit", read } };
    const request = { plan, widthMm: WIDTH_MM, source, held: { plates: {} } };
    await expect(preview(request, cache, asked.signal)).rejects.toThrow("given up");
    expect((await preview(request, cache)).artwork.width).toBe(400);
    expect(reads).toBe(2);
  });

  it("says a picture's own resolution, and none of a drawing", async () => {
    const drawing = join(fresh(), "art.svg");
    writeFileSync(
      drawing,
      '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 4 3"><rect width="4" height="3" fill="#d8431f"/></svg>',
    );
    expect((await ask(await artwork())).artwork.ownPpi).toBeCloseTo(200, 6);
    expect((await ask(drawing)).artwork.ownPpi).toBeUndefined();
  });

  it("knows coverage and the smallest film of each plate", async () => {
    const { plates } = await ask(await artwork());
    const none = plates.find(({ name }) => name === "none")!;
    expect(none.figures).toEqual({ coverage: 0, filmMm: { width: 0, height: 0 } });
    const warm = plates.find(({ name }) => name === "warm")!;
    const tones = bytesOf(warm.bytes);
    const columns = new Set<number>();
    let sum = 0;
    for (const [i, tone] of tones.entries()) {
      sum += tone;
      if (tone > 0) columns.add(i % 400);
    }
    expect(warm.figures.coverage).toBeCloseTo(sum / 255 / tones.length, 12);
    const span = Math.max(...columns) - Math.min(...columns) + 1;
    expect(warm.figures.filmMm.width).toBeCloseTo((span / 200) * 25.4, 9);
  });

  it("is known by its pixels: the same picture in another file is not sent again", async () => {
    const [file, other] = [await artwork(), await artwork()];
    const first = await ask(file);
    expect((await ask(other, { held: keysOf(first) })).artwork.bytes).toBeUndefined();
  });
});

describe("a crop", () => {
  it.each([
    ["in the middle", { x: 10, y: 8, width: 21, height: 13 }],
    ["at the print's corner", { x: 0, y: 0, width: 9, height: 9 }],
    ["beyond its far corner", { x: 40, y: 30, width: 100, height: 100 }],
  ])("%s has the tones that the whole has there", async (_where, rect) => {
    const file = await artwork();
    const { artwork: art, plates } = await ask(file, { crop: { ...rect, ppi: 200 } });
    const expected = await whole(file);
    const perMm = 200 / 25.4;
    const [x0, y0] = [Math.round(art.xMm * perMm), Math.round(art.yMm * perMm)];
    expect(x0).toBe(Math.floor(rect.x * perMm));
    expect(art.width).toBe(Math.min(400, Math.ceil((rect.x + rect.width) * perMm)) - x0);
    for (const { name, bytes } of plates) {
      const tones = bytesOf(bytes);
      let most = 0;
      for (let y = 0; y < art.height; y++)
        for (let x = 0; x < art.width; x++)
          most = Math.max(
            most,
            Math.abs(tones[y * art.width + x]! - expected.get(name)![(y0 + y) * 400 + x0 + x]!),
          );
      // A region's edge is worked out from another origin: its last bit may round the other way.
      expect(most, name).toBeLessThanOrEqual(name === "warm" ? 1 : 0);
    }
  });

  it.each(["diffusion", "blue-noise"] as const)(
    "has the squares that the whole has there: %s",
    async (dither) => {
      const file = await artwork();
      const index = { across: 150, colours: [0, 0.3, 1].map((v) => ({ r: v, g: v, b: v })), dither };
      const inks: SeparationPlan = {
        ...plan,
        preparation: { index },
        plates: [1, 2].map((colour) => ({
          name: `ink${colour}`,
          extract: { by: "artwork" },
          strength: { by: "index", colour },
        })),
        adjustments: [],
        knockouts: [],
        traps: [],
      };
      const cache = new StageCache(1e8);
      const all = await ask(file, { plan: inks }, cache);
      const cut = await ask(
        file,
        { plan: inks, crop: { x: 10, y: 8, width: 21, height: 13, ppi: 200 } },
        cache,
      );
      const [x0, y0] = [cut.artwork.xMm, cut.artwork.yMm].map((mm) => Math.round((mm * 200) / 25.4));
      const { width, height } = cut.artwork;
      for (const [k, { bytes }] of cut.plates.entries()) {
        const tones = bytesOf(all.plates[k]!.bytes);
        expect(new Set(tones)).toEqual(new Set([0, 255]));
        const expected = Uint8Array.from(
          { length: width * height },
          (_, i) => tones[(y0! + Math.floor(i / width)) * 400 + x0! + (i % width)]!,
        );
        expect(bytesOf(bytes)).toEqual(expected);
      }
    },
  );

  it("is known by its place, its sharpness and its plate, and says where it lies", async () => {
    const [file, cache] = [await artwork(), new StageCache(1e8)];
    const base = { x: 5, y: 8, width: 20, height: 15, ppi: 200 };
    const keys = new Set<string>();
    for (const change of [{}, { x: 6 }, { y: 9 }, { width: 21 }, { height: 16 }, { ppi: 100 }]) {
      const crop = { ...base, ...change };
      const { artwork: art, plates } = await ask(file, { crop }, cache);
      for (const key of [art.key, ...plates.map((plate) => plate.key)]) keys.add(key);
      // Whole pixels from the upper left of what was asked for.
      expect(art.xMm).toBeCloseTo((Math.floor((crop.x / 25.4) * art.ppi) / art.ppi) * 25.4, 9);
      expect(art.yMm).toBeCloseTo((Math.floor((crop.y / 25.4) * art.ppi) / art.ppi) * 25.4, 9);
      expect(art.heightMm).toBeCloseTo(38.1, 6);
    }
    expect(keys.size).toBe(6 * (1 + plan.plates.length));
    // The same place of another picture.
    const other = join(fresh(), "other.png");
    await sharp(file).negate().png().toFile(other);
    expect(keys.has((await ask(other, { crop: base }, cache)).artwork.key)).toBe(false);
  });

  it("is known by its plan: the plates that an edit reaches have other keys", async () => {
    const [file, cache] = [await artwork(), new StageCache(1e8)];
    const crop = { x: 5, y: 8, width: 20, height: 15, ppi: 200 };
    const first = await ask(file, { crop }, cache);
    const edited = await ask(file, { crop, plan: { ...plan, adjustments: [] } }, cache);
    const changed = first.plates.filter(({ key }, i) => key !== edited.plates[i]!.key);
    expect(changed.map(({ name }) => name)).toEqual(["warm"]);
    expect(edited.artwork.key).toBe(first.artwork.key);
  });

  it("is given up between any two steps, once it is not wanted", async () => {
    const [file, cache] = [await artwork(), new StageCache(1e8)];
    const crop = { x: 5, y: 5, width: 20, height: 15, ppi: 200 };
    // The artwork is in the cache then, so that only plates are left to be made.
    await ask(file, { crop }, cache);
    /** A signal that comes at the nth look at it. */
    const made = async (last: number) => {
      let looks = 0;
      const throwIfAborted = () => {
        if (++looks > last) throw new Error("not wanted");
      };
      const signal = { aborted: false, throwIfAborted, addEventListener() {}, removeEventListener() {} };
      const request = { plan, widthMm: WIDTH_MM, source: { file }, held: { plates: {} }, crop };
      await preview(request, cache, signal as unknown as AbortSignal);
      return looks;
    };
    const looks = await made(Number.POSITIVE_INFINITY);
    // At least once for each plate.
    expect(looks).toBeGreaterThanOrEqual(plan.plates.length);
    for (let last = 0; last < looks; last++) await expect(made(last)).rejects.toThrow("not wanted");
  });

  it("is no sharper than the artwork, and holds at most four million pixels", async () => {
    const file = await artwork();
    const { artwork: art } = await ask(file, { crop: { x: 0, y: 0, width: 50, height: 38, ppi: 5000 } });
    expect(art.ppi).toBe(200);
    const drawing = join(fresh(), "art.svg");
    const svg =
      '<svg xmlns="http://www.w3.org/2000/svg" width="100" height="100"><path d="M0 0h100v100z"/></svg>';
    writeFileSync(drawing, svg);
    const large = await preview(
      {
        plan,
        widthMm: 400,
        source: { file: drawing },
        held: { plates: {} },
        crop: { x: 0, y: 0, width: 400, height: 400, ppi: 900 },
      },
      new StageCache(1e8),
    );
    const pixels = large.artwork.width * large.artwork.height;
    expect(pixels).toBeLessThanOrEqual(4_000_000);
    expect(pixels).toBeGreaterThan(1_900_000);
  });
});
