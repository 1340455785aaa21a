import { expect, it } from "vitest";
import { demichel, power, root } from "../../../server/engine/print/halftone.ts";

it("takes a root and gives it back, and has none of less than nothing", () => {
  for (const n of [1, 1.7, 2])
    for (const R of [0, 0.02, 0.5, 1]) expect(power(root(R, n), n)).toBeCloseTo(R, 12);
  // Under 0 there is no root but at n = 1, where sums of light may pass through it.
  expect([root(-0.2, 2), power(-0.2, 1.5), power(-0.2, 2)]).toEqual([0, 0, 0]);
  expect([root(-0.2, 1), power(-0.2, 1)]).toEqual([-0.2, -0.2]);
});

it("weighs overprints in an array that it is given, whatever stood there", () => {
  expect([...demichel([0.25], Float64Array.of(9, 9))]).toEqual([0.75, 0.25]);
});
