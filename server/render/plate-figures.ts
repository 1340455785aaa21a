import type { Tones } from "../engine/raster.ts";
import { CLEAR_WORD, sumOfTones, wordsOf } from "../engine/tone-words.ts";
import type { PlateFigures } from "../wire/preview.ts";

/** Of an empty plate. */
export const NO_FIGURES: PlateFigures = { coverage: 0, filmMm: { width: 0, height: 0 } };

/** Coverage and smallest film of a plate. `width` is in pixels, each of them `mm` wide and high. */
export function plateFigures(tones: Tones, width: number, mm: number): PlateFigures {
  const from = firstInk(tones);
  if (from < 0) return NO_FIGURES;
  const top = Math.floor(from / width);
  const bottom = Math.floor(lastInk(tones) / width);
  let left = from % width;
  let right = left;
  // Of each row only what lies outside of the columns found so far.
  for (let row = top * width; row <= bottom * width; row += width) {
    for (let x = 0; x < left; x++) if (tones[row + x] !== 0) left = x;
    for (let x = width - 1; x > right; x--) if (tones[row + x] !== 0) right = x;
  }
  return {
    coverage: sumOfTones(tones) / (255 * tones.length),
    filmMm: { width: mm * (right - left + 1), height: mm * (bottom - top + 1) },
  };
}

/** Place of the first tone that prints; −1 for none. */
function firstInk(tones: Tones): number {
  const { words, first, end } = wordsOf(tones);
  let w = 0;
  while (w < words.length && words[w] === CLEAR_WORD) w++;
  for (let i = 0; i < first; i++) if (tones[i] !== 0) return i;
  for (let i = Math.min(end, first + 4 * w); i < tones.length; i++) if (tones[i] !== 0) return i;
  return -1;
}

/** Place of the last tone that prints; −1 for none. */
function lastInk(tones: Tones): number {
  const { words, first, end } = wordsOf(tones);
  for (let i = tones.length - 1; i >= end; i--) if (tones[i] !== 0) return i;
  let w = words.length;
  while (w > 0 && words[w - 1] === CLEAR_WORD) w--;
  for (let i = first + 4 * w - 1; i >= 0; i--) if (tones[i] !== 0) return i;
  return -1;
}
