import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { makeReview, type Side } from "../../../server/output/review/review.ts";
import { type Edit, nightGarden, unedited } from "./night-garden.ts";

/** Edits that touch different places, each with a number to draw. */
const EDITS: readonly ((n: number) => Edit)[] = [
  (n) => ["hue: [23, 65]", `hue: [${n}, 65]`],
  (n) => ["[0, 15], fade: 74", `[0, ${n}], fade: 74`],
  (n) => ["within: 5, fade: 8", `within: ${n}, fade: 8`],
  (n) => ["where: black, choke: 0.2 mm", `where: black, choke: ${n / 10} mm`],
  (n) => ["plate: base, choke: 0.1 mm", `plate: base, choke: ${n / 10} mm`],
  (n) => ["[30, 36]", `[30, ${30 + n}]`],
  (n) => ["smallest-dot: 4%", `smallest-dot: ${1 + n / 3}%`],
  (n) => ["lab(88 6 86)", `lab(88 ${n} 86)`],
  (n) => ["fold: mint, into: leaf", `fold: mint, into: ${n % 2 ? "blue" : "leaf"}`],
];

const job = fc
  .array(fc.tuple(fc.nat(EDITS.length - 1), fc.integer({ min: 1, max: 30 })), { maxLength: 4 })
  .map((drawn) => new Map(drawn))
  .map((drawn) => [...drawn].map(([at, n]) => EDITS[at]!(n)));

describe("a review", () => {
  it("says nothing of a job against itself", async () => {
    const one = await unedited();
    const again = await nightGarden();
    for (const [a, b] of [
      [one, one],
      [one, again],
    ] as const) {
      const { verdict, said, findings, figures } = makeReview(a, b);
      expect([verdict, said, findings]).toEqual(["same", [], { come: [], gone: [] }]);
      expect(figures?.garments.every(({ visibleCm2 }) => visibleCm2 === 0)).toBe(true);
    }
  });

  it("mentions every plate whose pixels differ, and calls that a change", async () => {
    await fc.assert(
      fc.asyncProperty(job, job, async (a, b) => {
        const [before, after] = [await nightGarden(...a), await nightGarden(...b)];
        const review = makeReview(before, after);
        const mentioned = new Set(review.said.filter(({ prints }) => prints).flatMap(({ plates }) => plates));
        for (const name of differing(before, after)) expect(mentioned).toContain(name);
        // Films follow from the recipe where pixels at this size do not.
        if (differing(before, after).length > 0) expect(review.verdict).toBe("changed");
      }),
      { numRuns: 8, seed: 8 },
    );
  });
});

function differing({ made: a }: Side, { made: b }: Side): string[] {
  const [was, is] = [a!.print.plates, b!.print.plates];
  return [...is.keys()].filter((name) => {
    const [before, after] = [was.get(name), is.get(name)];
    return !before || !after || Buffer.compare(before.tones, after.tones) !== 0;
  });
}
