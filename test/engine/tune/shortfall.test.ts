import { expect, it } from "vitest";
import type { SeparationPlan } from "../../../server/engine/plan.ts";
import { type GarmentShortfall, type Shortfall, shortfall } from "../../../server/engine/tune/shortfall.ts";
import { type Pixel, pictureOf } from "../pictures.ts";
import { PLAIN } from "../plans.ts";
import type { BLACK_GARMENT } from "../solve/prints.ts";
import { jobOf } from "./job.ts";

const plan = (from: number): SeparationPlan => ({
  plates: [
    { name: "white", extract: { by: "lightness", from, to: 100, fade: 0 }, strength: { by: "flat" } },
    { name: "black", extract: { by: "lightness", from: 0, to: 15, fade: 0 }, strength: { by: "flat" } },
  ],
  ...PLAIN,
  smallestDot: 0,
});

function split(of: SeparationPlan, pixels: readonly Pixel[], second?: typeof BLACK_GARMENT): Shortfall {
  return told(of, pixels, second).found;
}

function told(of: SeparationPlan, pixels: readonly Pixel[], second?: typeof BLACK_GARMENT) {
  const job = jobOf(of);
  const [print] = job.prints;
  const prints = second
    ? [
        print!,
        {
          ...print!,
          garment: "other",
          setup: "light",
          conditions: { ...print!.conditions, garment: second },
        },
      ]
    : [print!];
  const run = shortfall({ ...job, prints }, pictureOf(pixels.length, pixels), 1, [], 50);
  const shares: number[] = [];
  for (;;) {
    const step = run.next();
    if (step.done) return { found: step.value, shares };
    shares.push(step.value);
  }
}

const GREYS: readonly Pixel[] = Array.from(
  { length: 20 },
  (_, i): Pixel => [40 + 10 * i, 40 + 10 * i, 40 + 10 * i, 255],
);

it("lays what greys miss on tones where white prints solid, and on shape where it is left out", () => {
  const [solid] = split(plan(0), GREYS).garments;
  expect(solid!.gamut).toBeLessThan(1);
  expect(solid!.shape).toBeLessThan(solid!.tone / 10);
  expect(solid!.sharing).toBeCloseTo(0, 5);
  expect(solid!.tone).toBeGreaterThan(10);
  expect(solid!.offTone).toEqual({ plate: "white", gain: expect.closeTo(solid!.tone, 1) });
  const [bare] = split(plan(100), GREYS).garments;
  expect(bare!.shape).toBeGreaterThan(10);
  expect(bare!.leftOut).toEqual({ plate: "white", gain: expect.closeTo(bare!.shape, 0) });
  expect(bare!.tone).toBeCloseTo(0, 5);
  for (const { mean, gamut, sharing, shape, tone } of [solid!, bare!])
    expect(gamut + sharing + shape + tone).toBeCloseTo(mean, 9);
});

it("names the plate that most is due to, whichever that is", () => {
  const spread = plan(0);
  const black = {
    name: "black",
    extract: { by: "lightness", from: 0, to: 70, fade: 0 },
    strength: { by: "flat" },
  } as const;
  const [print] = split({ ...spread, plates: [spread.plates[0]!, black] }, GREYS).garments;
  // Black prints solid on greys that white makes by itself.
  expect(print!.offTone!.plate).toBe("black");
  expect(print!.offTone!.gain).toBeGreaterThan(5);
});

it("lays colours on gamut, and names the ink", () => {
  const red: Pixel = [200, 30, 30, 255];
  const [left] = split(plan(0), [red, red, red, ...GREYS]).garments;
  expect(left!.gamut).toBeGreaterThan(3);
  expect(left!.ink.colour.a).toBeGreaterThan(50);
  expect(left!.ink.gain).toBeGreaterThan(2);
});

it("lays on sharing what a light garments needs less of, and names the plate", () => {
  const { garments, apart } = split(plan(0), GREYS, { L: 60, a: 0, b: 0 });
  const [black, light] = garments as [GarmentShortfall, GarmentShortfall];
  expect(black.sharing + light.sharing).toBeGreaterThan(1);
  expect([apart!.plate, apart!.setup]).toEqual(["white", "light"]);
  // With white apart nothing of weight is shared any more: both gain what sharing had cost.
  expect(apart!.gain).toBeGreaterThan(0.8 * (black.sharing + light.sharing) * 0.5);
  expect(apart!.gains[0]! / 2 + apart!.gains[1]! / 2).toBeCloseTo(apart!.gain, 9);
});

it("tells the share that is done: most of it for the parts, the rest for screens apart", () => {
  const { shares } = told(plan(0), GREYS, { L: 60, a: 0, b: 0 });
  expect(shares).toEqual(shares.toSorted((p, q) => p - q));
  expect(shares).toHaveLength(2 * GREYS.length);
  // What is solved beforehand would take 0.3, and 0.6 more are evenly the pixels'.
  expect(shares[0]).toBeCloseTo(0.3 + 0.6 / GREYS.length, 9);
  expect(shares[GREYS.length - 1]).toBeCloseTo(0.9, 9);
  expect(shares[GREYS.length]).toBeCloseTo(0.9 + 0.1 / GREYS.length, 9);
  expect(shares.at(-1)).toBeCloseTo(1, 9);
  expect(told(plan(0), GREYS).found.apart).toBeUndefined();
});

it("says what an ink would bring, printed solid where it is nearer than what is there", () => {
  const red: Pixel = [200, 30, 30, 255];
  const [one] = split(plan(0), [red, red, ...GREYS.slice(0, 8)]).garments;
  // Two reds of ten pixels, whose own ink would miss them by nothing; greys are printed well enough.
  const missed = (one!.gamut * 10) / 2;
  expect(one!.ink.gain).toBeCloseTo((2 * missed) / 10, 0);
  expect(one!.ink.gain).toBeLessThanOrEqual(one!.gamut);
  const [none] = split(plan(0), GREYS.slice(0, 8)).garments;
  expect(none!.ink.gain).toBe(0);
});

it("names no plate where none would bring anything", () => {
  const white: Pixel = [246, 244, 240, 255];
  const [print] = split(plan(0), [white, white]).garments;
  for (const gain of [print!.leftOut, print!.offTone]) if (gain) expect(gain.gain).toBeGreaterThan(0);
  // White prints there and black is nothing: its tone is as good as it gets.
  expect(print!.leftOut).toBeUndefined();
});

it("tells of solved plates what is left, as they are solved", () => {
  const names = ["white", "gold"];
  const solve = (name: string) => ({ name, extract: { by: "artwork" }, strength: { by: "solve" } }) as const;
  const base: SeparationPlan = { ...plan(0), plates: names.map(solve) };
  const { conditions, stations } = jobOf(base).prints[0]!;
  const solved: SeparationPlan = {
    ...base,
    solving: {
      conditions,
      stations: stations.map((station, i) => ({ ...station, underbase: i === 0 })),
      wetInk: 3,
      smoothness: 1,
      halftonePrice: 0,
      onlyGarment: true,
    },
  };
  const { found, shares } = told(solved, [...GREYS.slice(2, 12), [220, 170, 60, 255]]);
  const [print] = found.garments;
  // Greys and gold are what these two print, and solved tones are all but the best.
  expect(print!.mean).toBeLessThan(4);
  expect(print!.tone).toBeLessThan(0.7);
  expect(shares[0]).toBeCloseTo(0.3 * 0.3, 9);
});
