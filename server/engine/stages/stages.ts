import { adjust } from "../adjust/adjust.ts";
import { EDGE_REACH } from "../extract/covered-edges.ts";
import { knockout } from "../knockout.ts";
import { limits } from "../limits.ts";
import { merge } from "../merge.ts";
import type { SeparationPlan } from "../plan.ts";
import { trap } from "../trap/trap.ts";
import { type Plates, reachOf, type Stage } from "./stage.ts";

/** Stage 1: all plates of the plan, each from the artwork. */
const extract: Stage = (_, { plates }) =>
  new Map(plates.map(({ name }, plate) => [name, { stage: "extract", takes: [], plate }]));

/** In their order, whatever the recipe's. A new stage is a file and a line here. */
const STAGES = { extract, adjust, merge, knockout, trap, limits } as const;

/** A stage after which plates may be looked at. */
export type StageName = keyof typeof STAGES;

/** The graph of a plan: the plates after each stage. What a stage leaves as it was is the same node before and after. */
export function stagesOf(plan: SeparationPlan): Readonly<Record<StageName, Plates>> {
  let plates: Plates = new Map();
  const after = Object.entries(STAGES).map(([name, stage]) => {
    plates = stage(plates, plan);
    return [name, plates] as const;
  });
  return Object.fromEntries(after) as Record<StageName, Plates>;
}

/** How far, in pixels, a pixel's surroundings can tell on any plate of such a picture. */
export function marginFor(
  plan: SeparationPlan,
  pixelsPerMm: number,
  { drawn }: { readonly drawn?: boolean } = {},
): number {
  const stages = [...stagesOf(plan).limits.values()].map((node) => reachOf(node, pixelsPerMm));
  return Math.max(0, ...stages) + (drawn ? EDGE_REACH : 0);
}
