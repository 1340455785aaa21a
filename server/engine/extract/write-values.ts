import type { Tones } from "../raster.ts";
import { wordsOf } from "../tone-words.ts";

/** Gives each pixel its colour's value; `entries` are the pixels' colours. Four are written at once. */
export function writeValues(values: Uint8Array, entries: Uint32Array, out: Tones): void {
  const { words, first, end } = wordsOf(out);
  for (let i = 0; i < first; i++) out[i] = values[entries[i]!]!;
  const count = words.length;
  for (let w = 0, i = first; w < count; w++, i += 4)
    words[w] =
      values[entries[i]!]! |
      (values[entries[i + 1]!]! << 8) |
      (values[entries[i + 2]!]! << 16) |
      (values[entries[i + 3]!]! << 24);
  for (let i = end; i < out.length; i++) out[i] = values[entries[i]!]!;
}
