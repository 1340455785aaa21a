import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { Extraction, SeparationPlan } from "../../server/engine/plan.ts";
import type { Picture } from "../../server/engine/raster.ts";
import { cachedPlates } from "../../server/render/cached-plates.ts";
import { StageCache } from "../../server/render/stage-cache.ts";
import { names, picture, plans, separated } from "./random-jobs.ts";

const keyed = (art: Picture, key = "art") => ({
  key,
  artwork: { picture: art, ppi: 25.4, info: undefined as never, notes: [] },
});

async function cached(cache: StageCache, art: Picture, plan: SeparationPlan, signal?: AbortSignal) {
  const plates: Record<string, string> = {};
  const keys: Record<string, string> = {};
  for await (const { name, key, tones } of cachedPlates(cache, keyed(art), plan, signal)) {
    plates[name] = Buffer.from(tones).toString("hex");
    keys[name] = key;
  }
  return { plates, keys };
}

describe("plates out of the cache", () => {
  it("are those of `separate`, byte for byte, whatever was made before", async () => {
    const art = picture(7);
    const cache = new StageCache(1_000_000);
    await fc.assert(
      fc.asyncProperty(plans, async (plan) => {
        expect((await cached(cache, art, plan)).plates).toEqual(separated(art, plan));
      }),
      { seed: 20_050_101, numRuns: 200 },
    );
  });

  it("are the same from a cache that is too small to hold anything", async () => {
    const art = picture(8);
    const cache = new StageCache(700);
    await fc.assert(
      fc.asyncProperty(plans, async (plan) => {
        expect((await cached(cache, art, plan)).plates).toEqual(separated(art, plan));
      }),
      { seed: 20_050_101, numRuns: 50 },
    );
  });
});

const lightness = (from: number): Extraction => ({ by: "lightness", from, to: 100, fade: 10 });
const job = (change: Partial<Record<(typeof names)[number], Extraction>> = {}, dot = 0): SeparationPlan => ({
  plates: names.map((name, i) => ({
    name,
    extract: change[name] ?? lightness(10 + i),
    strength: { by: "flat" },
  })),
  adjustments: [],
  merges: [{ fold: "d", into: "c" }],
  knockouts: [{ from: "a", where: "b", choke: 0.5 }],
  traps: [],
  smallestDot: dot,
});

describe("the keys of plates", () => {
  const keysOf = async (plan: SeparationPlan) => (await cached(new StageCache(1e6), picture(1), plan)).keys;
  const changed = async (plan: SeparationPlan) => {
    const [before, after] = [await keysOf(job()), await keysOf(plan)];
    return Object.keys(after).filter((name) => before[name] !== after[name]);
  };

  it.each([
    ["a plate by itself", { a: lightness(50) }, ["a"]],
    ["a plate that knocks out another", { b: lightness(50) }, ["a", "b"]],
    ["a plate that is folded", { d: lightness(50) }, ["c"]],
  ])("change with %s, and no others do", async (_what, change, expected) => {
    expect(await changed(job(change))).toEqual(expected);
  });

  it("change all with the smallest dot", async () => {
    expect(await changed(job({}, 0.05))).toEqual(["a", "b", "c"]);
  });
});

it("a signal stops the work, and what was made stays made", async () => {
  const controller = new AbortController();
  const cache = new StageCache(1e6);
  const art = picture(3);
  const plates = cachedPlates(cache, keyed(art), job({}, 0.05), controller.signal);
  await plates.next();
  const { bytes } = cache;
  controller.abort(new Error("stop"));
  await expect(plates.next()).rejects.toThrow("stop");
  expect(cache.bytes).toBe(bytes);
  expect(bytes).toBeGreaterThan(0);
});
