import { describe, expect, it } from "vitest";
import { expectOneFinding, findingsIn } from "../../language/documents.ts";
import { TRIPPING } from "./tripping.ts";

/** Every recipe that trips a rule, and its near twin that does not. */
export function itTrips(rule: string): void {
  describe(rule, () => {
    const cases = TRIPPING.filter((tripping) => tripping.rule === rule).map((t) => [t.name, t] as const);
    it.each(cases)("speaks of %s", async (_, { trips, path, message, shop }) => {
      await expectOneFinding(trips, rule, path, message, shop ? { "b.shop.yaml": shop } : {});
    });
    it.each(cases)("is silent of the near twin of %s", async (_, { twin, shop }) => {
      expect(await findingsIn(twin, shop ? { "b.shop.yaml": shop } : {})).toEqual([]);
    });
  });
}
