import type { Tones } from "../raster.ts";
import { eachPlate, type StageNode } from "../stages/stage.ts";
import { choke, spread } from "./choke.ts";
import { solidPart } from "./solid-part.ts";

/**
 * Stage 5, trap: a plate's edges drawn in or pushed out, everywhere or under other plates alone, to forgive
 * misregistration. Others are taken as they stood before.
 */
export const trap = eachPlate((name, node, before, { traps }) => {
  let made = node;
  for (const { way, distance, under, solid } of traps.filter(({ plate }) => plate === name)) {
    if (!under) made = moved(made, way, distance);
    else
      made = spreadUnder(
        made,
        distance,
        under.flatMap((other) => before.get(other) ?? []),
        solid === true,
      );
  }
  return made;
});

/** A plate spread as far as others print; of `solid` edges only those of what is solid, under what is. */
function spreadUnder(
  node: StageNode,
  distance: number,
  others: readonly StageNode[],
  solid: boolean,
): StageNode {
  if (distance <= 0 || others.length === 0) return node;
  const part = solid ? solidPart : (whole: StageNode) => whole;
  return {
    stage: "under",
    takes: [node, moved(part(node), "spread", distance), ...others.map(part)],
    part: [],
    reachMm: 0,
    inPlace: true,
    run: ([own, wide, ...covers], out) => addUnder(own!, wide!, covers, out),
  };
}

/**
 * Adds to a plate what its spread has where others cover it. An edge that two plates share runs through a pixel of which
 * each has its own part: the parts add up. Writes to `out`, which may be `own`.
 */
export function addUnder(own: Tones, wide: Tones, covers: readonly Tones[], out: Tones): void {
  for (let i = 0; i < out.length; i++) {
    const tone = own[i]!;
    const most = wide[i]!;
    if (most <= tone) {
      out[i] = tone;
      continue;
    }
    let cover = 0;
    for (const other of covers) cover += other[i]!;
    out[i] = Math.min(most, tone + Math.min(most, cover));
  }
}

/** A plate whose edges are drawn in or pushed out by a distance in millimetres; by none, the plate itself. */
export function moved(node: StageNode, way: "choke" | "spread", distance: number): StageNode {
  if (distance <= 0) return node;
  const move = way === "choke" ? choke : spread;
  return {
    stage: way,
    takes: [node],
    part: [distance],
    reachMm: distance,
    inPlace: false,
    run: ([tones], out, { width, height, pixelsPerMm }) =>
      move(tones!, width, height, distance * pixelsPerMm, out),
  };
}
