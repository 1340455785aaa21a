import { chromaOf } from "../colour/cielab.ts";
import type { Strength } from "../plan.ts";
import type { LabColumns } from "./lab-columns.ts";

/** What membership is multiplied with, 0–1, for one of the colours. */
export function strengthOf(strength: Strength, { L, a, b }: LabColumns, i = 0): number {
  switch (strength.by) {
    case "flat":
      return 1;
    case "lightness":
      return unit(L[i]! / 100);
    case "darkness":
      return unit(1 - L[i]! / 100);
    case "chroma":
      return unit(chromaOf(a[i]!, b[i]!) / strength.full);
    case "match":
    case "solve":
      // Found elsewhere, from the print (engine/solve/).
      return 1;
    case "index":
      // Written square by square (engine/squares/).
      return 0;
  }
}

function unit(v: number): number {
  return Math.min(1, Math.max(0, v));
}
