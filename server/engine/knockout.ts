import type { Tones } from "./raster.ts";
import { CLEAR_WORD, SOLID_WORD, type ToneWords, wordsBeside } from "./tone-words.ts";

/**
 * Stage 4, knockout: `from` × Π(1 − where), one factor for every plate that knocks it out. Writes to `out`, which
 * may be `from`. The factors are multiplied smallest name first by the caller and rounded once.
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

function knockOutOnce(from: Tones, holes: Tones, out: Tones): void {
  const knock = (start: number, stop: number) => {
    for (let i = start; i < stop; i++) out[i] = Math.round((from[i]! * (255 - holes[i]!)) / 255);
  };
  const words = wordsBeside(from, holes, out);
  if (!words) {
    knock(0, out.length);
    return;
  }
  const [{ words: whole, first, end }, { words: hole }, { words: left }] = words as [
    ToneWords,
    ToneWords,
    ToneWords,
  ];
  knock(0, first);
  for (let w = 0, i = first; w < whole.length; w++, i += 4) {
    const tone = whole[w]!;
    const gone = hole[w]!;
    if (gone === CLEAR_WORD) left[w] = tone;
    else if (gone === SOLID_WORD || tone === CLEAR_WORD) left[w] = CLEAR_WORD;
    else if (tone === SOLID_WORD) left[w] = ~gone;
    else knock(i, i + 4);
  }
  knock(end, out.length);
}
