import type { SeparationPlan } from "../../../server/engine/plan.ts";
import type { Tones } from "../../../server/engine/raster.ts";
import { isSource, type Stage } from "../../../server/engine/stages/stage.ts";

export const EMPTY_PLAN: SeparationPlan = {
  plates: [],
  adjustments: [],
  merges: [],
  knockouts: [],
  traps: [],
  smallestDot: 0,
};

/** One stage alone on one plate of one row, called "plate"; its own tones where the stage leaves it as it was. */
export function run(stage: Stage, tones: Tones, plan: Partial<SeparationPlan>): Tones {
  const source = { stage: "extract", takes: [], plate: 0 } as const;
  const node = stage(new Map([["plate", source]]), { ...EMPTY_PLAN, ...plan }).get("plate")!;
  if (isSource(node)) return tones;
  const out = new Uint8Array(tones.length);
  node.run([tones], out, { width: tones.length, height: 1, pixelsPerMm: 1 });
  return out;
}
