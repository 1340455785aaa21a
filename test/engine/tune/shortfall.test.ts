import { expect, it } from "vitest";
import type { SeparationPlan } from "../../../server/engine/plan.ts";
import { type Shortfall, shortfall } from "../../../server/engine/tune/shortfall.ts";
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

function split(
  of: SeparationPlan,
  pixels: readonly Pixel[],
  second?: typeof BLACK_GARMENT,
): readonly Shortfall[] {
  const job = jobOf(of);
  const [print] = job.prints;
  const prints = second
    ? [print!, { ...print!, garment: "other", conditions: { ...print!.conditions, garment: second } }]
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
  const [solid] = split(plan(0), GREYS);
  expect(solid!.gamut).toBeLessThan(1);
  expect(solid!.shape).toBeLessThan(solid!.tone / 10);
  expect(solid!.sharing).toBeCloseTo(0, 5);
  expect(solid!.tone).toBeGreaterThan(10);
  const [bare] = split(plan(100), GREYS);
  expect(bare!.shape).toBeGreaterThan(10);
  expect(bare!.tone).toBeCloseTo(0, 5);
  for (const { mean, gamut, sharing, shape, tone } of [solid!, bare!])
    expect(gamut + sharing + shape + tone).toBeCloseTo(mean, 9);
});

it("lays colours on gamut, and names the ink", () => {
  const red: Pixel = [200, 30, 30, 255];
  const [left] = split(plan(0), [red, red, red, ...GREYS]);
  expect(left!.gamut).toBeGreaterThan(3);
  expect(left!.ink.colour.a).toBeGreaterThan(50);
  expect(left!.ink.gain).toBeGreaterThan(2);
});

it("lays on sharing what a light garments needs less of, and names the plate", () => {
  const [black, light] = split(plan(0), GREYS, { L: 60, a: 0, b: 0 });
  expect(black!.sharing + light!.sharing).toBeGreaterThan(1);
  expect(light!.apart?.plate).toBe("white");
  expect(light!.apart?.gain).toBeGreaterThan(0.5);
});
