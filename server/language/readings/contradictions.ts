import type { Lab } from "../../engine/colour/cielab.ts";
import { formatNumber } from "../values/number.ts";

/** L* by which two readings of one patch may differ. Common practice, no source. */
const REPEATABILITY = 0.5;

/**
 * What is wrong with an ink's readings over white and over black: no film reflects more over black (Kubelka & Munk).
 * Undefined where nothing is.
 */
export function overBlackProblem(overWhite: Lab, overBlack: Lab): string | undefined {
  if (overBlack.L <= overWhite.L + REPEATABILITY) return undefined;
  return `over black reads L* ${formatNumber(overBlack.L)}, lighter than over white, ${formatNumber(overWhite.L)}; are the two swapped?`;
}

/** What is wrong with a card's halves; undefined where nothing is. */
export function cardProblem(white: Lab, black: Lab): string | undefined {
  if (black.L < white.L) return undefined;
  return `the card's black reads L* ${formatNumber(black.L)}, no darker than its white, ${formatNumber(white.L)}; are the two swapped?`;
}
