import { chromaOf } from "../colour/cielab.ts";
import type { Strength } from "../plan.ts";

/** What membership is multiplied with, 0–1, for a colour whose L*, a* and b* stand at `from`. */
export function strengthOf(strength: Strength, colours: Float64Array, from = 0): number {
  const L = colours[from]!;
  switch (strength.by) {
    case "flat":
      return 1;
    case "lightness":
      return unit(L / 100);
    case "darkness":
      return unit(1 - L / 100);
    case "chroma":
      return unit(chromaOf(colours[from + 1]!, colours[from + 2]!) / strength.full);
    case "match":
    case "solve":
      // Found elsewhere, from the print (engine/solve/).
      return 1;
  }
}

function unit(v: number): number {
  return Math.min(1, Math.max(0, v));
}
