import type { Screening } from "../screen/halftone.ts";
import { MM_PER_INCH } from "../units.ts";

/** Of a line's width under which it counts as no mark any more, where the dots of a screen are lines. */
const LINE_SHARE = 0.7;

/**
 * Millimetres across the smallest mark that a screen's own halftone may leave on film, where nobody says: a disc of half
 * the area of the smallest dot (tone 0–1), so that a dot that an edge cuts in two keeps its larger half; for lines a share
 * of the smallest one's width; one grain.
 */
export function smallestMarkMm(screening: Screening, smallestDot: number): number {
  if (screening.method !== "am") return screening.grainMm;
  const pitch = MM_PER_INCH / screening.rulingLpi;
  if (/^(line|cross)/i.test(screening.dot)) return LINE_SHARE * smallestDot * pitch;
  return pitch * Math.sqrt((2 * smallestDot) / Math.PI);
}
