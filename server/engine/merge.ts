import { share, type Tones } from "./raster.ts";
import type { Stage } from "./stages/stage.ts";

/** Stage 3, merge: plates that are folded into others print with these, and stand no longer by themselves. */
export const merge: Stage = (before, { merges }) => {
  const sources = sourcesOf(merges);
  const standing = screened(before.keys(), merges);
  return new Map(
    standing.map((name) => {
      const target = before.get(name)!;
      const folded = (sources.get(name) ?? []).map((source) => before.get(source)!);
      if (folded.length === 0) return [name, target];
      return [
        name,
        {
          stage: "merge",
          takes: [target, ...folded],
          part: [],
          reachMm: 0,
          inPlace: true,
          run: ([into, ...others], out) => mergePlates(into!, others, out),
        },
      ];
    }),
  );
};

/**
 * What `into` prints once `folded` are on its screen, tone = 1 − Π(1 − tone). Writes to `out`, which may be `into`.
 * One rounding for all of them, so that their order cannot matter.
 */
export function mergePlates(into: Tones, folded: readonly Tones[], out: Tones): void {
  const [only, second] = folded;
  if (only && !second) {
    for (let i = 0; i < out.length; i++) out[i] = 255 - share(255 - into[i]!, 255 - only[i]!);
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
 * For every plate that others are folded into, directly or through others: these, in order of name. Throws where
 * merges go round in a circle; rules refuse such a recipe before.
 */
export function sourcesOf(merges: readonly Merge[]): Map<string, string[]> {
  const into = new Map(merges.map((merge) => [merge.fold, merge.into]));
  const sources = new Map<string, string[]>();
  for (const { fold } of merges) {
    let target = fold;
    let steps = 0;
    for (let next = into.get(target); next !== undefined; next = into.get(target)) {
      if (++steps > into.size) throw new Error(`the plate ${fold} is folded into itself`);
      target = next;
    }
    sources.set(target, [...(sources.get(target) ?? []), fold]);
  }
  for (const names of sources.values()) names.sort();
  return sources;
}
