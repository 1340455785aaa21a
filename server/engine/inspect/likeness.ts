import type { Tones } from "../raster.ts";

/** How alike two plates are. */
export interface Likeness {
  /** Pearson's r of the tones, −1 to 1; 0 where a plate has one tone only. */
  readonly correlation: number;
  /** Ink that both print ÷ ink that either prints, 0–1. */
  readonly overlap: number;
}

/** Compares two plates of one size. */
export function likeness(a: Tones, b: Tones): Likeness {
  let sumA = 0;
  let sumB = 0;
  let sumAA = 0;
  let sumBB = 0;
  let sumAB = 0;
  let both = 0;
  let either = 0;
  for (let i = 0; i < a.length; i++) {
    const x = a[i]!;
    const y = b[i]!;
    sumA += x;
    sumB += y;
    sumAA += x * x;
    sumBB += y * y;
    sumAB += x * y;
    both += Math.min(x, y);
    either += Math.max(x, y);
  }
  const n = a.length;
  const spread = Math.sqrt((n * sumAA - sumA * sumA) * (n * sumBB - sumB * sumB));
  return {
    correlation: spread > 0 ? (n * sumAB - sumA * sumB) / spread : 0,
    overlap: either > 0 ? both / either : 0,
  };
}
