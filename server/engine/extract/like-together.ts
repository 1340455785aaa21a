import type { DescribedColours } from "./described-colours.ts";

/** Steps of lightness, chroma and hue that are told apart: 5 bits each. */
const STEPS = 32;
/** Chroma beyond it counts as one. */
const MOST_CHROMA = 128;

/** An order of colours in which those alike in lightness, chroma and hue stand together: along a curve through all three (Morton's). */
export function likeTogether({ L, chroma, hue }: DescribedColours): Uint32Array {
  const keys = new Uint16Array(L.length);
  const starts = new Uint32Array(STEPS ** 3 + 1);
  for (let i = 0; i < keys.length; i++) {
    const key =
      SPREAD[step(L[i]! / 100)]! |
      (SPREAD[step(chroma[i]! / MOST_CHROMA)]! << 1) |
      (SPREAD[step(hue[i]! / 360)]! << 2);
    keys[i] = key;
    starts[key + 1]!++;
  }
  for (let key = 1; key < starts.length; key++) starts[key]! += starts[key - 1]!;
  const order = new Uint32Array(keys.length);
  for (let i = 0; i < keys.length; i++) order[starts[keys[i]!]!++] = i;
  return order;
}

function step(share: number): number {
  return Math.max(0, Math.min(STEPS - 1, Math.floor(share * STEPS)));
}

/** The bits of a step, two places apart. */
const SPREAD = Uint16Array.from({ length: STEPS }, (_, v) => {
  let out = 0;
  for (let bit = 0; bit < 5; bit++) out |= ((v >> bit) & 1) << (3 * bit);
  return out;
});
