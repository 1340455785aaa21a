import { createHash } from "node:crypto";
import { readFileSync, rmSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it, vi } from "vitest";
import type { LostRuns } from "../../server/engine/lost-parts.ts";
import type { PlateTones } from "../../server/engine/separate.ts";
import { LEDGER_NAME } from "../../server/output/ledger.ts";
import { type Manifest, meanTone, writePlates } from "../../server/output/plate-files.ts";
import { Staging } from "../../server/output/staging.ts";
import { artworkOf, recipeOf } from "../render/jobs.ts";
import { contentOf, namesIn, partIn, scratch } from "./folders.ts";

const { fresh } = scratch();
const note = (file: string) => ({ file, sha256: "00" });
// 10 pixels at 25.4 ppi: 1 cm wide, 1 mm high.
const artwork = artworkOf(Array(10).fill([0, 0, 0, 255]));
const recipe = recipeOf({
  title: "Ten millimetres",
  plates:
    "  base: { ink: white, purpose: underbase, extract: { artwork: opaque } }\n  ember: { ink: ember, extract: { artwork: opaque } }\n  rose: { ink: ember, extract: { artwork: opaque } }\n",
  more: "merges: [{ fold: rose, into: ember }]\n",
});

type Made = PlateTones & { readonly lost?: LostRuns };

async function* inTurn(plates: readonly Made[]): AsyncGenerator<Made> {
  yield* plates;
}

async function writtenTo(folder: string, plates: readonly Made[]): Promise<Manifest> {
  const staging = await Staging.open(folder);
  const sources = { recipe: note("a.sep.yaml"), artwork: note("art.png") };
  const manifest = await writePlates(staging, recipe, artwork, sources, inTurn(plates));
  await staging.commit();
  return manifest;
}

const half = Uint8Array.from([255, 255, 255, 255, 255, 0, 0, 0, 0, 0]);
const faint = new Uint8Array(10).fill(51);
const plates = [
  { name: "base", tones: half },
  { name: "ember", tones: faint },
];

describe("a manifest", () => {
  it("has coverage in percent and ink in cm², as counted by hand", async () => {
    const { plates: written } = await writtenTo(fresh(), plates);
    // The print is 10 mm × 1 mm = 0.1 cm².
    expect(written.map(({ name, coverage, inkCm2 }) => [name, coverage, inkCm2])).toEqual([
      ["base", 50, 0.05],
      ["ember", 20, 0.02],
    ]);
  });

  it("has coverage to a thousandth of a percent, ink to a hundredth of a cm², and sizes as they print", async () => {
    const staging = await Staging.open(fresh());
    // 10 pixels at 2.5114 ppi: 101.1388 × 10.1139 mm, 10.229 cm².
    const large = artworkOf(Array(10).fill([0, 0, 0, 255]), 2.5114);
    const sources = { recipe: note("a.sep.yaml"), artwork: note("art.png") };
    const dot = Uint8Array.from([1, ...Array(9).fill(0)]);
    const made = [
      { name: "base", tones: half },
      { name: "ember", tones: dot },
    ];
    const manifest = await writePlates(staging, recipe, large, sources, inTurn(made));
    staging.discard();
    // 1 of 2550 is 0.0392 %.
    expect(manifest.plates.map(({ coverage, inkCm2 }) => [coverage, inkCm2])).toEqual([
      [50, 5.11],
      [0.039, 0],
    ]);
    const { width, height, ppi, widthMm, heightMm } = manifest;
    expect([width, height, ppi, widthMm, heightMm]).toEqual([10, 1, 2.511, 101.14, 10.11]);
  });

  it("has what a plate lost to its mesh, pieces and area, as counted by hand", async () => {
    const lost = { lines: [0, 1, 2, 0, 4, 7], gaps: [0, 8, 9] };
    const { plates: written } = await writtenTo(fresh(), [{ name: "base", tones: half, lost }, plates[1]!]);
    // Pixels of 1 mm².
    expect(written.map(({ leftOut }) => leftOut)).toEqual([
      { lines: { count: 2, mm2: 4 }, gaps: { count: 1, mm2: 1 } },
      undefined,
    ]);
  });

  it("says what the plates are and where they came from", async () => {
    const folder = fresh();
    const manifest = await writtenTo(folder, plates);
    expect(manifest).toMatchObject({
      platewright: { manifest: 1 },
      title: "Ten millimetres",
      recipe: note("a.sep.yaml"),
      artwork: note("art.png"),
      width: 10,
      height: 1,
      ppi: 25.4,
      widthMm: 10,
      heightMm: 1,
      folded: [{ name: "rose", into: "ember" }],
    });
    expect(manifest.plates.map(({ name, file, ink, purpose }) => [name, file, ink, purpose])).toEqual([
      ["base", "base.png", "white", "underbase"],
      ["ember", "ember.png", "ember", "colour"],
    ]);
    expect(JSON.parse(readFileSync(join(folder, "manifest.json"), "utf8"))).toEqual(manifest);
  });

  it("has each file's own digest", async () => {
    const folder = fresh();
    const manifest = await writtenTo(folder, plates);
    for (const { file, sha256 } of manifest.plates) {
      expect(sha256).toBe(
        createHash("sha256")
          .update(readFileSync(join(folder, file)))
          .digest("hex"),
      );
    }
    expect(namesIn(folder)).toEqual([LEDGER_NAME, "base.png", "ember.png", "manifest.json"]);
  });

  it("and plates have the same bytes from the same input", async () => {
    const [one, two] = [fresh(), fresh()];
    await writtenTo(one, plates);
    await writtenTo(two, plates);
    expect(contentOf(one)).toEqual(contentOf(two));
  });

  it("keeps the order of the plates, however many are encoded at once", async () => {
    const many = ["base", "ember", "rose"].map((name, i) => ({
      name,
      tones: new Uint8Array(10).fill(i),
    }));
    expect((await writtenTo(fresh(), many)).plates.map(({ name }) => name)).toEqual([
      "base",
      "ember",
      "rose",
    ]);
  });

  it("is not written where a plate fails", async () => {
    const folder = fresh();
    const staging = await Staging.open(folder);
    async function* failing(): AsyncGenerator<PlateTones> {
      yield plates[0]!;
      throw new Error("out of ink");
    }
    const sources = { recipe: note("a"), artwork: note("b") };
    await expect(writePlates(staging, recipe, artwork, sources, failing())).rejects.toThrow("out of ink");
    staging.discard();
    expect(namesIn(folder)).toEqual([]);
  });

  it("is not written where the disk fails, which is told once, in place", async () => {
    const folder = fresh();
    const staging = await Staging.open(folder);
    async function* slow(): AsyncGenerator<PlateTones> {
      yield plates[0]!;
      // The first file fails while the second plate is still being made.
      await new Promise((done) => setTimeout(done, 300));
      yield plates[1]!;
    }
    rmSync(partIn(folder), { recursive: true });
    const unhandled: unknown[] = [];
    const listen = (error: unknown) => unhandled.push(error);
    process.on("unhandledRejection", listen);
    const sources = { recipe: note("a"), artwork: note("b") };
    await expect(writePlates(staging, recipe, artwork, sources, slow())).rejects.toThrow(/cannot write/);
    process.off("unhandledRejection", listen);
    staging.discard();
    expect(unhandled).toEqual([]);
  });
});

describe("plates on their way to disk", () => {
  /** A staging whose writes take a while; tells how many are under way. */
  async function slow() {
    const staging = await Staging.open(fresh());
    const write = staging.write.bind(staging);
    const told = { underWay: 0, most: 0, done: 0 };
    vi.spyOn(staging, "write").mockImplementation(async (name, bytes) => {
      told.most = Math.max(told.most, ++told.underWay);
      await new Promise((resolve) => setTimeout(resolve, 60));
      const written = await write(name, bytes);
      told.underWay--;
      told.done++;
      return written;
    });
    return { staging, told };
  }
  const sources = { recipe: note("a"), artwork: note("b") };

  it("are waited for where the next cannot be made", async () => {
    const { staging, told } = await slow();
    async function* broken() {
      yield* plates;
      throw new Error("the artwork is gone");
    }
    await expect(writePlates(staging, recipe, artwork, sources, broken())).rejects.toThrow(
      "the artwork is gone",
    );
    expect(told).toMatchObject({ underWay: 0, done: 2 });
    staging.discard();
  });

  it("are a few at a time, so that their memory is bounded", async () => {
    const names = Array.from({ length: 12 }, (_, i) => `p${i}`);
    const many = recipeOf({
      plates: ["base", "ember", ...names]
        .map((name) => `  ${name}: { ink: ember, extract: { artwork: opaque } }\n`)
        .join(""),
    });
    const { staging, told } = await slow();
    let made = 0;
    let ahead = 0;
    async function* counted() {
      for (const name of names) {
        ahead = Math.max(ahead, ++made - told.done);
        yield { name, tones: half };
      }
    }
    const { plates: written } = await writePlates(staging, many, artwork, sources, counted());
    expect(written.map(({ name }) => name)).toEqual(names);
    expect(told.most).toBeGreaterThan(1);
    expect(ahead).toBeLessThanOrEqual(4);
    staging.discard();
  });

  it("stand in the manifest in the recipe's order, whichever was made first", async () => {
    const manifest = await writtenTo(fresh(), [...plates].reverse());
    expect(manifest.plates.map(({ name }) => name)).toEqual(["base", "ember"]);
  });
});

describe("the mean tone", () => {
  it.each([
    [[], 0],
    [[0], 0],
    [[255, 255], 1],
    [[0, 255, 0, 255], 0.5],
  ])("of %j is %d", (tones, mean) => {
    expect(meanTone(Uint8Array.from(tones))).toBe(mean);
  });

  it("is the same wherever the tones lie in memory, and however many they are", () => {
    for (const [from, to] of [
      [0, 4099],
      [1, 4096],
      [2, 515],
      [3, 5],
      [5, 3000],
    ] as const) {
      const tones = new Uint8Array(5000)
        .map((_, i) => (i % 3 === 0 ? 255 : (i * 37) & 255))
        .subarray(from, to);
      const sum = tones.reduce((a, b) => a + b, 0);
      expect(meanTone(tones)).toBe(sum / (255 * tones.length));
      expect(meanTone(tones.fill(255))).toBe(1);
    }
  });
});
