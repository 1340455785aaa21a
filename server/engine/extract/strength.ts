import { curveFunction } from "../adjust/curve.ts";
import type { Strength } from "../plan.ts";
import type { LabColumns } from "./lab-columns.ts";

/** What membership is multiplied with, 0–1, for one of the colours. */
export type StrengthOf = (colours: LabColumns, i: number) => number;

/** A strength made ready for many colours. */
export function strengthFunction(strength: Strength): StrengthOf {
  switch (strength.by) {
    case "flat":
      return () => 1;
    case "lightness":
      return ({ L }, i) => unit(L[i]! / 100);
    case "darkness":
      return ({ L }, i) => unit(1 - L[i]! / 100);
    case "chroma":
      return ({ chroma }, i) => unit(chroma[i]! / strength.full);
    case "curves": {
      const overLightness = strength.lightness && curveFunction(strength.lightness);
      const overChroma = strength.chroma && curveFunction(strength.chroma);
      return ({ L, chroma }, i) => (overLightness?.(L[i]!) ?? 1) * (overChroma?.(chroma[i]!) ?? 1);
    }
    case "match":
    case "solve":
      // Found elsewhere, from the print (engine/solve/).
      return () => 1;
    case "index":
      // Written square by square (engine/squares/).
      return () => 0;
  }
}

function unit(v: number): number {
  return Math.min(1, Math.max(0, v));
}
