import { SOLID } from "../trap/solid-part.ts";
import { coverOf, type Labels } from "./label.ts";

/** Pixels within which both colours are whole beside an edge; the softest that scans and compression leave is three wide. */
const FAR = 3;

/**
 * Makes soft edges, as blur, scanning and resampling leave them, one pixel wide where they are half one colour and half the
 * other: on film an edge is a line there, and what lies beyond would print as stray dots. A stroke too thin to be whole anywhere
 * keeps its shares. Works in place.
 */
export function sharpen(labels: Labels): void {
  const { width, height, first, second, share } = labels;
  const changes: { readonly at: number; readonly cover: number }[] = [];
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const at = y * width + x;
      const [own, other] = [first[at]!, second[at]!];
      if (own === other) continue;
      const [least, most] = coverAround(labels, x, y, 1, other, own);
      if (most >= SOLID && 255 - least >= SOLID) continue;
      const [leastFar, mostFar] = coverAround(labels, x, y, FAR, other, own);
      if (mostFar < SOLID || 255 - leastFar < SOLID || most === least) continue;
      // Over two pixels; a sharp edge rises by all in one.
      const rise = (2 * 255) / (most - least);
      changes.push({ at, cover: Math.max(0, 127.5 + (127.5 - share[at]!) * rise) });
    }
  }
  for (const { at, cover } of changes) {
    share[at] = Math.round(255 - cover);
    if (cover < 4) {
      second[at] = first[at]!;
      share[at] = 255;
    }
  }
}

/** The least and the most that a colour covers of the pixels around one which hold it or the other. */
function coverAround(
  labels: Labels,
  x: number,
  y: number,
  reach: number,
  colour: number,
  beside: number,
): readonly [least: number, most: number] {
  const { width } = labels;
  let [least, most] = [255, 0];
  // Above and below the picture no pixel holds either.
  for (let v = y - reach; v <= y + reach; v++)
    for (let u = Math.max(0, x - reach); u <= Math.min(width - 1, x + reach); u++) {
      const at = v * width + u;
      const own = labels.first[at];
      if (own !== colour && own !== beside) continue;
      const cover = coverOf(labels, at, colour);
      if (cover < least) least = cover;
      if (cover > most) most = cover;
    }
  return [least, most];
}
