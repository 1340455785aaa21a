import type { Tones } from "./raster.ts";
import { CLEAR_WORD, SOLID_WORD, wordsOf } from "./tone-words.ts";

/**
 * Stage 6, limits, in place: a tone under the smallest printable dot goes to nothing or to that dot, whichever is
 * nearer; a hole smaller than that dot closes or opens likewise. So no film asks for a dot that the screen cannot
 * hold, and a soft edge ends where its dots do.
 */
export function limitTones(tones: Tones, smallestDot: number): void {
  if (smallestDot <= 0) return;
  const table = limitTable(smallestDot);
  const limit = (from: number, to: number) => {
    for (let i = from; i < to; i++) tones[i] = table[tones[i]!]!;
  };
  const { words, first, end } = wordsOf(tones);
  limit(0, first);
  for (let w = 0, i = first; w < words.length; w++, i += 4) {
    const word = words[w]!;
    // No limit moves what is clear or solid.
    if (word !== CLEAR_WORD && word !== SOLID_WORD) limit(i, i + 4);
  }
  limit(end, tones.length);
}

export function limitTable(smallestDot: number): Uint8Array {
  const dot = Math.min(127, Math.round(smallestDot * 255));
  const raise = (tone: number) => (tone * 2 < dot ? 0 : Math.max(tone, dot));
  return Uint8Array.from({ length: 256 }, (_, tone) => (tone < 128 ? raise(tone) : 255 - raise(255 - tone)));
}

/** The same for one tone 0–1 that is not rounded to a byte. */
export function limitTone(tone: number, smallestDot: number): number {
  const dot = Math.min(127, Math.round(smallestDot * 255)) / 255;
  const raise = (t: number) => (t * 2 < dot ? 0 : Math.max(t, dot));
  return tone < 0.5 ? raise(tone) : 1 - raise(1 - tone);
}
