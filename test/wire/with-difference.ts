import type { Tones } from "../../server/engine/raster.ts";
import { runsOf } from "../../server/wire/tone-difference.ts";

/** The plate that a difference was made of, from the one before. */
export function withDifference(before: Tones, difference: Uint8Array): Tones {
  const now = before.slice();
  for (const { at, tones } of runsOf(difference, now.length)) now.set(tones, at);
  return now;
}
