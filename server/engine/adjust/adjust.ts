import type { AdjustmentPlan } from "../plan.ts";
import type { Extent, Tones } from "../raster.ts";
import { curveTable } from "./curve.ts";
import { RegionMask } from "./region.ts";

/** Stage 2, adjust: one curve on one plate, in place, everywhere or inside a region. */
export function adjustPlate(
  tones: Tones,
  extent: Extent,
  pixelsPerMm: number,
  { curve, region }: AdjustmentPlan,
): void {
  const table = curveTable(curve);
  if (!region) {
    for (let i = 0; i < tones.length; i++) tones[i] = table[tones[i]!]!;
    return;
  }
  const mask = new RegionMask(region, extent, pixelsPerMm);
  const { x0, y0, x1, y1 } = mask.box;
  const { width } = extent;
  for (let y = y0; y < y1; y++) {
    for (let x = x0; x < x1; x++) {
      const weight = mask.weight(x, y);
      if (weight === 0) continue;
      const tone = tones[y * width + x]!;
      tones[y * width + x] = Math.round(tone + weight * (table[tone]! - tone));
    }
  }
}
