import type { Lab } from "../../../server/engine/colour/cielab.ts";
import type { SolvePlan } from "../../../server/engine/solve/plan.ts";

export const lab = (L: number, a: number, b: number): Lab => ({ L, a, b });

/** White under colours and black, as a shop has them. */
export const SHELF: readonly (readonly [colour: Lab, opacity: number])[] = [
  [lab(96, 0, 2), 0.93],
  [lab(81, 14, 78), 0.74],
  [lab(57, -42, 46), 0.66],
  [lab(46, -10, -42), 0.64],
  [lab(56, 56, 56), 0.7],
  [lab(42, 42, -58), 0.64],
  [lab(6, 0, -1), 0.97],
];

export const BLACK_GARMENT = lab(8, 0, -1);

/** All inks of a shelf solved together on a garment, the first of them flashed. */
export function allSolved(shelf: typeof SHELF = SHELF, rest: Partial<SolvePlan> = {}): SolvePlan {
  return {
    conditions: { garment: BLACK_GARMENT, n: 1, compensated: true, smallestDot: 0.04 },
    stations: shelf.map(([colour, opacity], plate) => ({
      ink: { colour, opacity },
      plate,
      knockedOutBy: [],
      wetGroup: plate === 0 ? 0 : 1,
    })),
    plates: shelf.length,
    solved: shelf.map((_, i) => i),
    sources: shelf.map(() => []),
    wetInk: 2.4,
    smoothness: 1,
    halftonePrice: 1,
    ...rest,
  };
}

/** The same on screens of one lattice, whose dots nest as far as a usual register lets them. */
export function nested(plan: SolvePlan, misregistrationMm = 0.1): SolvePlan {
  const screen = { method: "am", rulingLpi: 45, angle: 22.5, dot: "round" } as const;
  return {
    ...plan,
    conditions: { ...plan.conditions, misregistrationMm },
    stations: plan.stations.map((station) => ({ ...station, screen })),
  };
}
