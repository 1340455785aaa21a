import { join } from "node:path";
import sharp from "sharp";
import { describe, expect, it } from "vitest";
import { readArtwork } from "../../server/artwork/artwork.ts";
import { separate } from "../../server/engine/separate.ts";
import type { Recipe } from "../../server/language/recipe.ts";
import { separationPlan } from "../../server/render/plan/separation-plan.ts";
import { labAt, makePrint, previewPrint } from "../../server/render/print.ts";
import { makeProof } from "../../server/render/proof.ts";
import { StageCache } from "../../server/render/stage-cache.ts";
import { scratch } from "../output/folders.ts";
import { random } from "../property.ts";
import { recipeOf } from "./jobs.ts";

const { fresh } = scratch();

/** Blobs of a few colours, 60 × 40 pixels on an inch. */
async function artwork(): Promise<string> {
  const next = random(21);
  const small = Uint8Array.from({ length: 6 * 4 * 3 }, () => Math.floor(next() * 256));
  const file = join(fresh(), "art.png");
  await sharp(small, { raw: { width: 6, height: 4, channels: 3 } })
    .resize(60, 40, { kernel: "cubic" })
    .png()
    .toFile(file);
  return file;
}

const PLATES = `  base: { ink: white, purpose: underbase, extract: { artwork: opaque } }
  ember: { ink: ember, extract: { hue: [0, 120], fade: 30 }, strength: chroma }
  dark: { ink: ember, extract: { lightness: [0, 60], fade: 20 }, strength: darkness }
`;
const recipeWith = (more: string) => recipeOf({ plates: PLATES, order: "base, flash, ember, dark", more });
const CHOKED = `traps: [{ plate: base, choke: 0.6 mm }]
knockouts: [{ from: base, where: dark, choke: 0.4 mm }]
screening: { smallest-dot: 8% }
`;
const SPREAD = CHOKED.replace("base, choke", "ember, spread");

const histogram = (tones: Uint8Array) => {
  const counts = new Array<number>(256).fill(0);
  for (const tone of tones) counts[tone]!++;
  return counts;
};

/** The engine's own way, plate by plate. */
function separated(
  recipe: Recipe,
  { picture, ppi }: Awaited<ReturnType<typeof readArtwork>>,
  change: object = {},
) {
  const plates = new Map<string, Uint8Array>();
  for (const step of separate(picture, ppi / 25.4, { ...separationPlan(recipe), ...change }))
    if (typeof step !== "number") plates.set(step.name, step.tones.slice());
  return plates;
}

describe.each([
  ["choked", CHOKED],
  ["spread", SPREAD],
  ["neither, all tones kept", "screening: { smallest-dot: 0% }\n"],
])("a print's plates, %s", (_, more) => {
  it("are the engine's, before and behind trap and limits, at once or out of the cache", async () => {
    const [file, recipe] = [await artwork(), recipeWith(more)];
    const read = await readArtwork(file, { widthMm: 25.4 });
    const [finished, unlimited, untrapped] = [
      separated(recipe, read),
      separated(recipe, read, { smallestDot: 0 }),
      separated(recipe, read, { smallestDot: 0, traps: [] }),
    ];
    for (const print of [
      await makePrint(recipe, read),
      await previewPrint(recipe, { file }, new StageCache(1e8)),
    ]) {
      expect([...print.plates.keys()]).toEqual(["base", "ember", "dark"]);
      for (const [name, plate] of print.plates) {
        expect(plate.tones, name).toEqual(finished.get(name));
        expect(plate.untrapped, name).toEqual(untrapped.get(name));
        expect([...plate.histogram], name).toEqual(histogram(finished.get(name)!));
        expect(plate.unlimited, name).toEqual(unlimited.get(name)!);
      }
    }
    // Each stage changes something, or this would tell nothing.
    const differ = (a: Map<string, Uint8Array>, b: Map<string, Uint8Array>) =>
      [...a].some(([name, tones]) => !Buffer.from(tones).equals(Buffer.from(b.get(name)!)));
    const moved = more.includes("traps");
    expect([differ(finished, unlimited), differ(unlimited, untrapped)]).toEqual([moved, moved]);
  });
});

describe("a print", () => {
  const more = `  light: { garments: [black, white], order: [ember] }\n`;
  const made = async () => {
    const recipe = recipeOf({ plates: PLATES, order: "base, flash, ember, dark", more });
    return makePrint(recipe, await readArtwork(await artwork(), { widthMm: 25.4 }));
  };

  it("is proved on each garment in each setup as the proof's own maker does", async () => {
    const print = await made();
    const seen = new Set<string>();
    for (const [garment, setup] of [
      ["black", "dark"],
      ["black", "light"],
      ["white", "light"],
    ] as const) {
      const rgb = print.proof(garment, setup);
      const { recipe, artwork: art } = print;
      const proof = await makeProof(recipe, art, garment, recipe.setups.get(setup)!, print.tones());
      expect(Buffer.from(rgb).equals(Buffer.from(proof.rgb)), `${garment}, ${setup}`).toBe(true);
      expect(print.proof(garment, setup)).toBe(rgb);
      seen.add(Buffer.from(rgb).toString("latin1"));
    }
    expect(seen.size).toBe(3);
  });

  it("knows its pixels' size, and a setup's plates in its order", async () => {
    const print = await made();
    expect([print.pixels, print.pixelMm]).toEqual([2400, expect.closeTo(25.4 / 60, 9)]);
    expect(print.areaCm2(2400)).toBeCloseTo((25.4 * 25.4 * 40) / 60 / 100, 9);
    const of = (setup: string) => print.printed(print.recipe.setups.get(setup)!).map(({ name }) => name);
    expect([of("dark"), of("light")]).toEqual([["base", "ember", "dark"], ["ember"]]);
  });
});

it("a pixel's CIELAB is that of its first three bytes", () => {
  const data = Uint8Array.of(9, 9, 9, 255, 255, 255, 255, 0);
  expect(labAt(data, 4).L).toBeCloseTo(100, 3);
  expect(Math.hypot(labAt(data, 4).a, labAt(data, 4).b)).toBeLessThan(0.05);
  expect(labAt(data, 0).L).toBeLessThan(5);
});
