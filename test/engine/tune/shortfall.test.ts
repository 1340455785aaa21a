import { expect, it } from "vitest";
import type { SeparationPlan } from "../../../server/engine/plan.ts";
import { type GarmentShortfall, type Shortfall, shortfall } from "../../../server/engine/tune/shortfall.ts";
import { type Pixel, pictureOf } from "../pictures.ts";
import type { BLACK_GARMENT } from "../solve/prints.ts";
import { jobOf } from "./job.ts";

const plan = (from: number): SeparationPlan => ({
  plates: [
    { name: "white", extract: { by: "lightness", from, to: 100, fade: 0 }, strength: { by: "flat" } },
    { name: "black", extract: { by: "lightness", from: 0, to: 15, fade: 0 }, strength: { by: "flat" } },
  ],
  adjustments: [],
  merges: [],
  knockouts: [],
  traps: [],
  smallestDot: 0,
});

function split(of: SeparationPlan, pixels: readonly Pixel[], second?: typeof BLACK_GARMENT): Shortfall {
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
  for (;;) {
    const step = run.next();
    if (step.done) return step.value;
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
