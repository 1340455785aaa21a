import { expect, it } from "vitest";
import { deltaE00 } from "../../server/engine/colour/ciede2000.ts";
import { CIEDE2000_PAIRS } from "./ciede2000-pairs.ts";

// Sharma, Wu, Dalal, Color Research & Application 30(1), 2005, table 1, which gives ΔE00 to four decimals.
it("has all 34 pairs of the table", () => {
  expect(CIEDE2000_PAIRS).toHaveLength(34);
});

for (const [i, [L1, a1, b1, L2, a2, b2, wanted]] of CIEDE2000_PAIRS.entries()) {
  it(`gives ΔE00 ${wanted} for pair ${i + 1}, both ways`, () => {
    expect(Math.abs(deltaE00(L1, a1, b1, L2, a2, b2) - wanted)).toBeLessThan(1e-4);
    expect(Math.abs(deltaE00(L2, a2, b2, L1, a1, b1) - wanted)).toBeLessThan(1e-4);
  });
}
