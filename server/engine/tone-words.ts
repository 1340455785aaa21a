import type { Tones } from "./raster.ts";

/**
 * Tones four at a time: most of a plate is clear, and a word tells that of four tones at once. The tones before
 * the first whole word and behind the last one are left over.
 */
export interface ToneWords {
  readonly words: Uint32Array;
  /** Place of the first word's first tone. */
  readonly first: number;
  /** Place behind the last word's last tone. */
  readonly end: number;
}

/** Four tones without ink. */
export const CLEAR_WORD = 0;
/** Four tones of solid ink. */
export const SOLID_WORD = 0xffffffff;

const NO_WORDS = new Uint32Array(0);

/** A plate's bytes as words of four tones, as far as they lie on whole words in memory; the rest stays apart. */
export function wordsOf(tones: Tones): ToneWords {
  const first = (4 - (tones.byteOffset % 4)) % 4;
  const { length } = tones;
  if (length <= first) return { words: NO_WORDS, first: length, end: length };
  const words = new Uint32Array(tones.buffer, tones.byteOffset + first, (length - first) >> 2);
  return { words, first, end: first + words.length * 4 };
}

/** Sum of all tones, 0–255 each. */
export function sumOfTones(tones: Tones): number {
  const { words, first, end } = wordsOf(tones);
  let sum = 0;
  // Two pairs of sums a word, which cannot overflow within a stretch.
  for (let start = 0; start < words.length; start += 128) {
    const stop = Math.min(words.length, start + 128);
    let even = 0;
    let odd = 0;
    for (let w = start; w < stop; w++) {
      const word = words[w]!;
      even += word & 0x00ff00ff;
      odd += (word >>> 8) & 0x00ff00ff;
    }
    sum += (even & 0xffff) + (even >>> 16) + (odd & 0xffff) + (odd >>> 16);
  }
  for (let i = 0; i < first; i++) sum += tones[i]!;
  for (let i = end; i < tones.length; i++) sum += tones[i]!;
  return sum;
}
