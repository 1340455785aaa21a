import type { Tones } from "./raster.ts";
import { limitTo } from "./tone-loops.ts";

/**
 * Stage 6, limits, in place: a tone under the smallest printable dot goes to nothing or to that dot, whichever is
 * nearer; a hole smaller than that dot closes or opens likewise. So no film asks for a dot that the screen cannot
 * hold, and a soft edge ends where its dots do.
 */
export function limitTones(tones: Tones, smallestDot: number): void {
  if (smallestDot <= 0) return;
  limitTo(dotOf(smallestDot), tones);
}

export function limitTable(smallestDot: number): Uint8Array {
  const dot = dotOf(smallestDot);
  const raise = (tone: number) => (tone * 2 < dot ? 0 : Math.max(tone, dot));
  return Uint8Array.from({ length: 256 }, (_, tone) => (tone < 128 ? raise(tone) : 255 - raise(255 - tone)));
}

/** The same for one tone 0–1 that is not rounded to a byte. */
export function limitTone(tone: number, smallestDot: number): number {
  const dot = dotOf(smallestDot) / 255;
  const raise = (t: number) => (t * 2 < dot ? 0 : Math.max(t, dot));
  return tone < 0.5 ? raise(tone) : 1 - raise(1 - tone);
}

/** The smallest dot as a tone; a larger one would leave no room for a hole of its size. */
function dotOf(smallestDot: number): number {
  return Math.min(127, Math.round(smallestDot * 255));
}
