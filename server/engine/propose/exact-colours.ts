import type { Rgb } from "../areas/planes.ts";
import { type Picture, wholeWords } from "../raster.ts";

/** As many are looked at, at most. */
const MOST = 48;

/** In clean art, colours that three pixels in a row have: fine lines have no wider areas. */
export function exactColours({ width, height, data }: Picture, counts: Uint8Array, least: number) {
  const words = wholeWords(data);
  const found = new Map<number, number>();
  for (let y = 1; y < height - 1; y++) {
    for (let i = y * width + 1; i < y * width + width - 1; i++) {
      const own = words[i]!;
      if (counts[i] === 0) continue;
      if (
        (words[i - 1] === own && words[i + 1] === own) ||
        (words[i - width] === own && words[i + width] === own) ||
        (words[i - width - 1] === own && words[i + width + 1] === own) ||
        (words[i - width + 1] === own && words[i + width - 1] === own)
      )
        found.set(own, (found.get(own) ?? 0) + 1);
    }
  }
  return [...found]
    .filter(([, n]) => n >= least)
    .sort((a, b) => b[1] - a[1] || a[0] - b[0])
    .slice(0, MOST)
    .map(([word, n]) => {
      const at = new Uint8Array(Uint32Array.of(word).buffer);
      return { rgb: [at[0]!, at[1]!, at[2]!] as Rgb, n };
    });
}
