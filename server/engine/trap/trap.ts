import { eachPlate, type StageNode } from "../stages/stage.ts";
import { choke, spread } from "./choke.ts";

/** Stage 5, trap: a plate's edges drawn in or pushed out, to forgive misregistration. */
export const trap = eachPlate((name, node, _, { traps }) => {
  const own = traps.find(({ plate }) => plate === name);
  return own ? moved(node, own.way, own.distance) : node;
});

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
