import type { SeparationPlan } from "../../server/engine/plan.ts";
import { BLACK_GARMENT, SHELF } from "./solve/prints.ts";

/** A plan's parts that do nothing to plates once they are extracted. */
export const PLAIN = { adjustments: [], merges: [], knockouts: [], traps: [] } as const;

/** A white base and one ink on it that is matched: what solves quickest. */
export const MATCHED: SeparationPlan = {
  plates: [
    { name: "white", extract: { by: "artwork" }, strength: { by: "flat" } },
    { name: "ember", extract: { by: "artwork" }, strength: { by: "match" } },
  ],
  ...PLAIN,
  smallestDot: 0.04,
  solving: {
    conditions: { garment: BLACK_GARMENT, n: 1, compensated: true, smallestDot: 0.04 },
    stations: [
      { plate: "white", ink: { colour: SHELF[0]![0], opacity: SHELF[0]![1] }, underbase: true, wetGroup: 0 },
      { plate: "ember", ink: { colour: SHELF[4]![0], opacity: SHELF[4]![1] }, underbase: false, wetGroup: 1 },
    ],
    wetInk: 2.4,
    smoothness: 1,
    halftonePrice: 0,
    onlyGarment: true,
  },
};
