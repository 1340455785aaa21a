import type { Tones } from "./raster.ts";
import { joinOnce } from "./tone-loops.ts";

/**
 * Stage 3, merge: what `into` prints once `folded` are on its screen, tone = 1 − Π(1 − tone). Writes to `out`,
 * which may be `into`. One rounding for all of them, so that their order cannot matter.
 */
export function mergePlates(into: Tones, folded: readonly Tones[], out: Tones): void {
  const [only, second] = folded;
  if (only && !second) {
    joinOnce(into, only, out);
    return;
  }
  for (let i = 0; i < out.length; i++) {
    let clear = 255 - into[i]!;
    for (const tones of folded) clear = (clear * (255 - tones[i]!)) / 255;
    out[i] = 255 - Math.round(clear);
  }
}

interface Merge {
  readonly fold: string;
  readonly into: string;
}

/** The plates that have a screen of their own, since they are folded into no other; in the order of `names`. */
export function screened(names: Iterable<string>, merges: readonly Merge[]): string[] {
  const folded = new Set(merges.map(({ fold }) => fold));
  return [...names].filter((name) => !folded.has(name));
}

/**
 * Every plate's guests: the plates that are folded into it, directly or through others, in order of name.
 * Merges must be free of cycles.
 */
export function guestsOf(merges: readonly Merge[]): Map<string, string[]> {
  const into = new Map(merges.map((merge) => [merge.fold, merge.into]));
  const guests = new Map<string, string[]>();
  for (const { fold } of merges) {
    let host = fold;
    for (let next = into.get(host); next !== undefined; next = into.get(host)) host = next;
    guests.set(host, [...(guests.get(host) ?? []), fold]);
  }
  for (const names of guests.values()) names.sort();
  return guests;
}
