import type { AdjustmentPlan } from "../plan.ts";
import type { Tones } from "../raster.ts";
import { eachPlate, type Grid, type StageNode } from "../stages/stage.ts";
import { curveTable } from "./curve.ts";
import { RegionMask } from "./region.ts";

/** Stage 2, adjust: curves on a plate, everywhere or inside a region, in the order of the list. */
export const adjust = eachPlate((name, node, _, { adjustments }) =>
  adjustments.filter(({ plate }) => plate === name).reduce(adjusted, node),
);

function adjusted(before: StageNode, adjustment: AdjustmentPlan): StageNode {
  return {
    stage: "adjust",
    takes: [before],
    part: [adjustment.curve, adjustment.region],
    reachMm: 0,
    inPlace: true,
    run([tones], out, grid) {
      if (out !== tones) out.set(tones!);
      adjustPlate(out, grid, adjustment);
    },
  };
}

/** One curve on one plate, in place, everywhere or inside a region. */
export function adjustPlate(tones: Tones, grid: Grid, { curve, region }: AdjustmentPlan): void {
  const table = curveTable(curve);
  if (!region) {
    for (let i = 0; i < tones.length; i++) tones[i] = table[tones[i]!]!;
    return;
  }
  const mask = new RegionMask(region, grid, grid.pixelsPerMm);
  const { x0, y0, x1, y1 } = mask.box;
  const { width } = grid;
  for (let y = y0; y < y1; y++) {
    for (let x = x0; x < x1; x++) {
      const weight = mask.weight(x, y);
      if (weight === 0) continue;
      const tone = tones[y * width + x]!;
      tones[y * width + x] = Math.round(tone + weight * (table[tone]! - tone));
    }
  }
}
