import { expect } from "vitest";
import type { SeparationPlan } from "../../../server/engine/plan.ts";
import type { Tones } from "../../../server/engine/raster.ts";
import { type Grid, isSource, type Stage, type StageNode } from "../../../server/engine/stages/stage.ts";
import { PLAIN } from "../plans.ts";

export const EMPTY_PLAN: SeparationPlan = {
  plates: [],
  ...PLAIN,
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

/**
 * A node's tones from those of the plates that it is made of in the end. What may be made in the buffer of the first that it
 * takes is made there too, and must be the same.
 */
export function madeOf(node: StageNode, plates: readonly Tones[], grid: Grid): Tones {
  if (isSource(node)) return plates[node.plate]!;
  const taken = node.takes.map((one) => madeOf(one, plates, grid));
  const before = taken.map((tones) => tones.slice());
  const out = new Uint8Array(grid.width * grid.height).fill(77);
  node.run(taken, out, grid);
  expect(taken, `${node.stage} leaves what it takes`).toEqual(before);
  if (node.inPlace) {
    const [own, ...others] = before;
    node.run([own!, ...others], own!, grid);
    expect(own, `${node.stage} in place`).toEqual(out);
  }
  return out;
}
