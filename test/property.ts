import fc from "fast-check";

export { randomNumbers as random } from "../server/engine/random-numbers.ts";

/** How many cases a test tries: few in the suite, many in `npm run fuzz`. */
export const runs = (few: number, many: number): number =>
  process.env.PLATEWRIGHT_LONG === "1" ? many : few;

/** Checks a property on the same cases in every run, so that a red build can be repeated. */
export function holds<T>(property: fc.IProperty<T>, numRuns = 200): void {
  fc.assert(property, { seed: 20_050_101, numRuns });
}
