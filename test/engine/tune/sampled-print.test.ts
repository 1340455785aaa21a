import { expect, it } from "vitest";
import type { SeparationPlan } from "../../../server/engine/plan.ts";
import { samplePixels, sampleSpecks } from "../../../server/engine/tune/sample.ts";
import { SampledPrint } from "../../../server/engine/tune/sampled-print.ts";
import { pictureOf } from "../pictures.ts";
import { jobOf } from "./job.ts";

/** Gold and leaf solid on all pixels, wet on one another; on half of them white, flashed before. */
const plan: SeparationPlan = {
  plates: [
    { name: "white", extract: { by: "lightness", from: 50, to: 100, fade: 0 }, strength: { by: "flat" } },
    { name: "gold", extract: { by: "artwork" }, strength: { by: "flat" } },
    { name: "leaf", extract: { by: "artwork" }, strength: { by: "flat" } },
  ],
  adjustments: [],
  merges: [],
  knockouts: [],
  traps: [],
  smallestDot: 0,
};
const picture = pictureOf(4, [
  [250, 250, 250, 255],
  [250, 250, 250, 255],
  [10, 10, 10, 255],
  [10, 10, 10, 255],
]);

it("prices ink over the limit that lies wet together, once for all garments of a setup", () => {
  const job = jobOf(plan);
  const costOf = (wetInk: number, garments: number) => {
    const prints = Array.from({ length: garments }, () => job.prints[0]!);
    const specks = sampleSpecks(picture, 10, 10);
    return new SampledPrint({ ...job, prints, wetInk }, samplePixels(picture, 10), specks, picture, 10, [])
      .cost;
  };
  // Two solids lie wet: half a tone over 150 %, at 20 ΔE00 a tone.
  expect(costOf(1.5, 1) - costOf(2, 1)).toBeCloseTo(10, 6);
  expect(costOf(1.5, 2) - costOf(2, 2)).toBeCloseTo(10, 6);
  expect(costOf(3, 1)).toBe(costOf(2, 1));
});
