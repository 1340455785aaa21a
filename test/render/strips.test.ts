import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { prepare } from "../../server/engine/areas/prepare.ts";
import type { SeparationPlan } from "../../server/engine/plan.ts";
import type { Picture } from "../../server/engine/raster.ts";
import { separate } from "../../server/engine/separate.ts";
import type { StageName } from "../../server/engine/stages/stages.ts";
import { Workspace } from "../../server/engine/workspace.ts";
import {
  type StripLost,
  type StripRequest,
  separatedInStrips,
  stripMaker,
} from "../../server/render/strips.ts";
import { WorkerPool } from "../../server/render/worker-pool.ts";
import { PLAIN } from "../engine/plans.ts";
import { builtRoot, solvedPlan } from "./built.ts";
import { picture, pictures, plans, separated } from "./random-jobs.ts";

const here = () => new WorkerPool<StripRequest, StripLost>(undefined, stripMaker());

async function inStrips(art: Picture, plan: SeparationPlan, pixels: number, pool = here()) {
  const plates: Record<string, string> = {};
  for await (const { name, tones } of separatedInStrips(art, 1, plan, pool, pixels))
    plates[name] = Buffer.from(tones).toString("hex");
  return plates;
}

/** What limits took off each plate of it. */
async function lostInStrips(art: Picture, plan: SeparationPlan, pixels: number) {
  const lost: Record<string, unknown> = {};
  for await (const plate of separatedInStrips(art, 1, plan, here(), pixels)) lost[plate.name] = plate.lost;
  return lost;
}

class Unclean extends Workspace {
  override buffer(length: number): Uint8Array {
    return new Uint8Array(length).fill(77);
  }
}

describe("plates made in strips", () => {
  it("are those of `separate`, byte for byte, however many rows a strip has", async () => {
    const arts = pictures(11);
    await fc.assert(
      fc.asyncProperty(plans, fc.integer({ min: 1, max: 300 }), fc.nat(2), async (plan, pixels, i) => {
        const art = arts[i]!;
        expect(await inStrips(art, plan, pixels)).toEqual(separated(art, plan));
      }),
      { seed: 20_050_101, numRuns: 120 },
    );
  });

  it("lose what they lose as a whole, in rows of the whole", async () => {
    const [width, height] = [24, 24];
    // Blocks, and lines of a pixel that go through many strips, some of them to a line across.
    const isInk = (x: number, y: number) => x < 6 || (x < 14 ? x !== 7 : x % 4 === 0 || (y === 20 && x > 16));
    const data = new Uint8Array(width * height * 4);
    for (let at = 0; at < width * height; at++)
      if (isInk(at % width, Math.floor(at / width))) data[4 * at + 3] = 255;
    const art: Picture = { width, height, data };
    const plan: SeparationPlan = {
      plates: [{ name: "a", extract: { by: "artwork" }, strength: { by: "flat" } }],
      ...PLAIN,
      thinnest: [{ plate: "a", line: 2, gap: 2 }],
      smallestDot: 0,
    };
    const [whole] = [...separate(art, 1, plan)].flatMap((step) =>
      typeof step === "number" ? [] : [step.lost],
    );
    expect(whole!.lines.length).toBeGreaterThan(100);
    expect(whole!.gaps.length).toBeGreaterThan(50);
    for (const pixels of [24, 90, 200]) expect(await lostInStrips(art, plan, pixels)).toEqual({ a: whole });
  });

  it("are the same in flat art, whose areas are cut into strips too", async () => {
    const art = picture(14);
    const half = art.data.slice();
    for (let i = 0; i < art.width * art.height; i++)
      half.set((i % art.width) * 2 < art.width ? [200, 20, 40, 255] : [20, 40, 160, 255], 4 * i);
    const flat = prepare({ ...art, data: half }, 1, {
      flat: {
        colours: [
          [200, 20, 40],
          [20, 40, 160],
        ],
        speckMm: 0,
      },
    }).picture;
    expect(flat.areas).toBeDefined();
    for (const plan of fc.sample(plans, { seed: 5, numRuns: 40 }))
      expect(await inStrips(flat, plan, 90)).toEqual(separated(flat, plan));
  });

  it("are the same in squares, which are shared out over the whole picture first", async () => {
    const art = picture(14);
    for (const dither of ["diffusion", "blue-noise"] as const) {
      const index = {
        across: 9,
        colours: [0, 1, 0.2].map((v, k) => ({ r: v, g: k === 2 ? 0 : v, b: v })),
        dither,
      };
      const plan: SeparationPlan = {
        preparation: { index },
        plates: [1, 2].map((colour) => ({
          name: `ink${colour}`,
          extract: { by: "artwork" },
          strength: { by: "index", colour },
        })),
        adjustments: [],
        merges: [],
        knockouts: [],
        traps: [{ plate: "ink2", way: "spread", distance: 1 }],
        smallestDot: 0.04,
      };
      const ready = prepare(art, 1, plan.preparation!).picture;
      expect(new Set(ready.squares).size).toBe(3);
      for (const pixels of [1, 40, 90])
        expect(await inStrips(ready, plan, pixels)).toEqual(separated(ready, plan));
    }
  });

  it("need no clean buffers", () => {
    const art = picture(17);
    for (const plan of [...fc.sample(plans, { seed: 7, numRuns: 40 }), solvedPlan]) {
      const plates: Record<string, string> = {};
      for (const step of separate(art, 1, plan, { workspace: new Unclean() }))
        if (typeof step !== "number") plates[step.name] = Buffer.from(step.tones).toString("hex");
      expect(plates).toEqual(separated(art, plan));
    }
  });

  it("are the same where they are solved", async () => {
    const art = picture(12);
    expect(await inStrips(art, solvedPlan, 100)).toEqual(separated(art, solvedPlan));
  });

  it("are the same from threads", async () => {
    const art = picture(13, 96);
    const pool = new WorkerPool<StripRequest, StripLost>(new URL("strip-worker.js", builtRoot), stripMaker());
    try {
      for (const plan of [...fc.sample(plans, { seed: 3, numRuns: 6 }), solvedPlan])
        expect(await inStrips(art, plan, 700, pool)).toEqual(separated(art, plan));
    } finally {
      await pool.close();
    }
  });

  it("keep a region where the recipe has it", async () => {
    const art: Picture = { width: 5, height: 40, data: new Uint8Array(5 * 40 * 4).fill(255) };
    const plan: SeparationPlan = {
      plates: [{ name: "a", extract: { by: "artwork" }, strength: { by: "flat" } }],
      adjustments: [
        {
          plate: "a",
          curve: [
            [0, 0],
            [1, 0.5],
          ],
          region: { shape: "rectangle", from: [0, 22], to: [5, 25], feather: 0 },
        },
      ],
      merges: [],
      knockouts: [],
      traps: [],
      smallestDot: 0,
    };
    const { a } = await inStrips(art, plan, 50);
    const rows = Buffer.from(a!, "hex");
    const lowered = Array.from({ length: 40 }, (_, y) => y).filter((y) => rows[y * 5 + 2] === 128);
    expect(lowered).toEqual([22, 23, 24]);
  });

  it("tell how far they are", async () => {
    const shares: number[] = [];
    const [plan] = fc.sample(plans, { seed: 5, numRuns: 1 });
    for await (const _ of separatedInStrips(picture(14), 1, plan!, here(), 24 * 6, {
      onProgress: (done) => void shares.push(done),
    }));
    expect(shares).toEqual([0.25, 0.5, 0.75, 1]);
  });

  it("stop where the onProgress throws", async () => {
    let strips = 0;
    const make = stripMaker();
    const task = (order: StripRequest) => {
      strips++;
      return make(order);
    };
    const [plan] = fc.sample(plans, { seed: 5, numRuns: 1 });
    const made = separatedInStrips(picture(15), 1, plan!, new WorkerPool(undefined, task), 24, {
      onProgress: () => {
        throw new Error("stopped");
      },
    });
    await expect(made.next()).rejects.toThrow("stopped");
    expect(strips).toBe(1);
  });
});

it("strips that fail are told once the others under way have ended, and no more are begun", async () => {
  const begun: number[] = [];
  let underWay = 0;
  const make = async (order: StripRequest) => {
    begun.push(order.picture.origin!.y);
    if (begun.length === 2) throw new Error("out of memory");
    underWay++;
    await new Promise((resolve) => setTimeout(resolve, 30));
    underWay--;
  };
  const pool = { places: 3, make } as unknown as WorkerPool<StripRequest, StripLost>;
  const [plan] = fc.sample(plans, { seed: 5, numRuns: 1 });
  // Rows of 24 pixels: 24 strips.
  await expect(separatedInStrips(picture(18), 1, plan!, pool, 24).next()).rejects.toThrow("out of memory");
  expect([begun.length, underWay]).toEqual([3, 0]);
});

describe("one strip", () => {
  it("says how far it is, and writes nothing but the rows asked for", () => {
    const art = picture(16);
    const plan: SeparationPlan = {
      plates: [{ name: "a", extract: { by: "artwork" }, strength: { by: "flat" } }],
      ...PLAIN,
      smallestDot: 0,
    };
    const into = new Uint8Array(24 * 24).fill(7);
    const shares: number[] = [];
    const rows = new Map<StageName, Uint8Array>([["limits", into.subarray(0, 48)]]);
    stripMaker()(
      { picture: art, pixelsPerMm: 1, plan, first: 4, last: 6, into: new Map([["a", rows]]) },
      (done) => shares.push(done),
    );
    const [whole] = [...separate(art, 1, plan)].filter((step) => typeof step !== "number");
    expect(into.subarray(0, 48)).toEqual(whole!.tones.subarray(4 * 24, 6 * 24));
    expect(new Set(into.subarray(48))).toEqual(new Set([7]));
    expect(shares.at(-1)).toBe(1);
  });
});
