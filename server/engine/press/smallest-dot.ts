/**
 * What each tone 0–255 becomes where no dot and no hole may be under the smallest one, `smallestDot` 0–1: nothing, or
 * that dot, whichever is nearer.
 */
export function limitTable(smallestDot: number): Uint8Array {
  return Uint8Array.from({ length: 256 }, (_, tone) => limited(tone, Math.round(smallestDot * 255)));
}

/** The same for one tone 0–1 that is not rounded to a byte. */
export function limitTone(tone: number, smallestDot: number): number {
  return limited(tone * 255, smallestDot * 255) / 255;
}

/** `smallest` of 255. */
function limited(tone: number, smallest: number): number {
  // A larger dot would leave no room for a hole of its size.
  const dot = Math.min(127, smallest);
  const raised = (t: number) => (t * 2 < dot ? 0 : Math.max(t, dot));
  return tone < 127.5 ? raised(tone) : 255 - raised(255 - tone);
}
