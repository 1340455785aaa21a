import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { Extraction, SeparationPlan } from "../../server/engine/plan.ts";
import type { Picture } from "../../server/engine/raster.ts";
import { areCached, cachedPlates, plateKeys, solvedTones, turns } from "../../server/render/cached-plates.ts";
import { StageCache } from "../../server/render/stage-cache.ts";
import { solvedPlan } from "./built.ts";
import { names, picture, pictures, plans, separated } from "./random-jobs.ts";

const keyed = (art: Picture, key = "art") => ({
  key,
  artwork: { picture: art, ppi: 25.4, info: undefined as never, notes: [] },
  given: new Map(names.map((name) => [name, `${key} ${name}`])),
});

async function cached(
  cache: StageCache,
  art: Picture,
  plan: SeparationPlan,
  signal?: AbortSignal,
  artKey?: string,
) {
  const plates: Record<string, string> = {};
  const keys: Record<string, string> = {};
  for await (const { name, key, tones } of cachedPlates(cache, keyed(art, artKey), plan, signal)) {
    plates[name] = Buffer.from(tones).toString("hex");
    keys[name] = key;
  }
  return { plates, keys };
}

describe("plates out of the cache", () => {
  it("are those of `separate`, byte for byte, whatever was made before", async () => {
    const arts = pictures(7);
    const cache = new StageCache(1_000_000);
    await fc.assert(
      fc.asyncProperty(plans, fc.nat(2), async (plan, i) => {
        const art = arts[i]!;
        expect((await cached(cache, art, plan, undefined, `art ${i}`)).plates).toEqual(separated(art, plan));
      }),
      { seed: 20_050_101, numRuns: 120 },
    );
  });

  it("are the same from a cache that is too small to hold anything", async () => {
    const art = picture(8);
    const cache = new StageCache(700);
    await fc.assert(
      fc.asyncProperty(plans, async (plan) => {
        expect((await cached(cache, art, plan)).plates).toEqual(separated(art, plan));
      }),
      { seed: 20_050_101, numRuns: 25 },
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

describe("one cache for all", () => {
  const cache = new StageCache(1e7);
  const expectSame = async (plan: SeparationPlan, art = picture(7), key = "7") =>
    expect((await cached(cache, art, plan, undefined, key)).plates).toEqual(separated(art, plan));
  const plain = (more: Partial<SeparationPlan> = {}): SeparationPlan => ({ ...job(), ...more });

  it("tells strengths, smallest dots and distances apart", async () => {
    for (const strength of [
      { by: "flat" },
      { by: "darkness" },
      { by: "lightness" },
      { by: "chroma", full: 60 },
      { by: "chroma", full: 90 },
    ] as const)
      for (const smallestDot of [0, 0.04, 0.1, 0.3])
        await expectSame(
          plain({ plates: job().plates.map((plate) => ({ ...plate, strength })), smallestDot }),
        );
    for (const distance of [0, 0.5, 1.5])
      for (const way of ["choke", "spread"] as const)
        await expectSame(plain({ traps: [{ plate: "a", way, distance }] }));
  });

  it("tells artworks apart, also where they are measured against the same colour", async () => {
    const near = { by: "near", colour: { L: 55, a: 20, b: 30 }, within: 25, fade: 20 } as const;
    const plan = plain({ plates: job({ a: near, b: { ...near, within: 40 } }).plates });
    for (const seed of [1, 2, 3]) await expectSame(plan, picture(seed), String(seed));
  });

  it("has each solved plate by itself, and others from another search", async () => {
    for (const wetInk of [1.2, 2.4]) {
      const solving = solvedPlan.solving!;
      await expectSame({ ...solvedPlan, solving: { ...solving, wetInk } });
    }
    const { plates } = await cached(cache, picture(7), solvedPlan, undefined, "7");
    expect(plates.base).not.toBe(plates.ember);
  });

  it("makes no limits where there is no smallest dot", async () => {
    const keys = (await cached(cache, picture(7), plain(), undefined, "7")).keys;
    expect(Object.values(keys).filter((key) => key.startsWith("limits"))).toEqual([]);
  });

  it("gives nothing more once the signal has come, though all is there", async () => {
    await cached(cache, picture(7), plain(), undefined, "7");
    await expect(
      cached(cache, picture(7), plain(), AbortSignal.abort(new Error("stop")), "7"),
    ).rejects.toThrow("stop");
  });
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

  it("tell thinnest lines and gaps, and who a spread goes under, apart", async () => {
    const hold = (line: number, gap: number) => ({ ...job(), thinnest: [{ plate: "a", line, gap }] });
    const under = (...names: string[]) => ({
      ...job(),
      traps: [{ plate: "a", way: "spread" as const, distance: 1, under: names }],
    });
    const plans = [job(), hold(1, 1), hold(2, 1), hold(1, 2), under("b"), under("c"), under("b", "c")];
    const keys = await Promise.all(plans.map(async (plan) => (await keysOf(plan)).a));
    expect(new Set(keys).size).toBe(plans.length);
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

describe("keys that are asked for beforehand", () => {
  it("are those that the plates bear, and are known before any is made", async () => {
    const art = picture(9);
    const plan = job();
    const cache = new StageCache(1e8);
    const keys = plateKeys(cache, keyed(art), plan);
    expect(areCached(cache, keyed(art), plan)).toBe(false);
    expect(Object.fromEntries(keys)).toEqual((await cached(cache, art, plan)).keys);
    expect(areCached(cache, keyed(art), plan)).toBe(true);
    expect(areCached(cache, keyed(art, "another"), plan)).toBe(false);
  });
});

describe("work that takes long", () => {
  it("is nothing where nothing is solved, and else lets others in at each step", async () => {
    const cache = new StageCache(1e8);
    expect(await solvedTones(cache, job(), async () => {})).toBeUndefined();
    let steps = 0;
    const stop = async () => {
      if (++steps === 3) throw new Error("stopped");
    };
    await expect(solvedTones(cache, solvedPlan, stop)).rejects.toThrow("stopped");
    expect(steps).toBe(3);
  });

  it("lets messages in, and stops where the signal says so", async () => {
    const controller = new AbortController();
    const turn = turns(controller.signal);
    let came = false;
    setImmediate(() => {
      came = true;
    });
    // Longer than any turn.
    for (const began = performance.now(); performance.now() - began < 15; );
    await turn();
    expect(came).toBe(true);
    controller.abort(new Error("not wanted"));
    await expect(turn()).rejects.toThrow("not wanted");
  });
});
