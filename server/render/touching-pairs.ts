import { commonEdge } from "../engine/inspect/common-edge.ts";
import type { Thirds } from "../engine/inspect/thirds.ts";
import type { Extent, Tones } from "../engine/raster.ts";
import { spread } from "../engine/trap/choke.ts";
import { keepSolid } from "../engine/trap/solid-part.ts";
import type { Recipe } from "../language/recipe.ts";
import { trapPairs } from "./plan/trap-plan.ts";
import type { Print } from "./print.ts";

/** Two plates that touch at a solid edge: the lighter one may be spread under the darker. */
export interface TouchingPair {
  readonly plate: string;
  readonly under: string;
  /** How long their common edge is on the garment. */
  readonly lengthMm: number;
  readonly where: Thirds;
  /** How far one overlaps the other by the recipe's traps; 0 where they end at one another. */
  readonly trapMm: number;
}

/** Shorter common edges are corners and specks. */
const LEAST_MM = 2;

/** The pairs of colour plates that touch, in the recipe's order. */
export function touchingPairs({ recipe, plates, picture, pixelMm }: Print): TouchingPair[] {
  return pairsThatTouch(recipe, picture, pixelMm, (name) => plates.get(name)!.untrapped);
}

/** The same of plates as they stood before traps, by name. */
export function pairsThatTouch(
  recipe: Recipe,
  { width, height }: Extent,
  pixelMm: number,
  untrapped: (name: string) => Tones,
): TouchingPair[] {
  const solids = new Map<string, Uint8Array>();
  const solidOf = (name: string) => {
    const known = solids.get(name);
    if (known) return known;
    const made = new Uint8Array(width * height);
    keepSolid(untrapped(name), width, height, made);
    solids.set(name, made);
    return made;
  };
  const wide = new Uint8Array(width * height);
  return trapPairs(recipe).flatMap(({ plate, under }) => {
    const own = solidOf(plate);
    spread(own, width, height, 1, wide);
    return under.flatMap((other) => {
      const { length, where } = commonEdge(own, wide, solidOf(other), width, height);
      const lengthMm = length * pixelMm;
      if (lengthMm < LEAST_MM) return [];
      return [{ plate, under: other, lengthMm, where, trapMm: trapBetween(recipe, plate, other) }];
    });
  });
}

function trapBetween({ traps, neighbours }: Recipe, plate: string, other: string): number {
  const own = traps.flatMap((trap) => {
    if (trap.way === "choke") return [];
    const [from, to] = trap.plate === plate ? [plate, other] : [other, plate];
    return trap.plate === from && (trap.under === undefined || trap.under === to) ? [trap.distanceMm] : [];
  });
  return Math.max(0, neighbours?.distanceMm ?? 0, ...own);
}
