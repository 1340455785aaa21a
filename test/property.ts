import fc from "fast-check";

/** How many cases a test tries: few in the suite, many in `npm run fuzz`. */
export const runs = (few: number, many: number): number =>
  process.env.PLATEWRIGHT_LONG === "1" ? many : few;

/** Checks a property on the same cases in every run, so that a red build can be repeated. */
export function holds<T>(property: fc.IProperty<T>, numRuns = 200): void {
  fc.assert(property, { seed: 20_050_101, numRuns });
}

/** Even random numbers 0–1 from a seed (mulberry32), where a check needs more of them than a property carries. */
export function random(seed: number): () => number {
  let state = seed;
  return () => {
    state = (state + 0x6d2b79f5) | 0;
    let t = Math.imul(state ^ (state >>> 15), 1 | state);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 2 ** 32;
  };
}
