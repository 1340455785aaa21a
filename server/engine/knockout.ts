import type { Tones } from "./raster.ts";
import { knockOutOnce } from "./tone-loops.ts";

/**
 * Stage 4, knockout: `from` × Π(1 − where), one factor for every plate that knocks it out. Writes to `out`, which
 * may be `from`. The factors are multiplied in the plan's order and rounded once.
 */
export function knockOut(from: Tones, where: readonly Tones[], out: Tones): void {
  const [only, second] = where;
  if (only && !second) {
    knockOutOnce(from, only, out);
    return;
  }
  for (let i = 0; i < out.length; i++) {
    let tone: number = from[i]!;
    if (tone !== 0) for (const holes of where) tone = (tone * (255 - holes[i]!)) / 255;
    out[i] = Math.round(tone);
  }
}
