import { expect, it } from "vitest";
import { randomNumbers } from "../../server/engine/random-numbers.ts";

it("are those that mulberry32 is published with", () => {
  const from = (seed: number, count: number) => Array.from({ length: count }, randomNumbers(seed));
  // Of seed 1 from memory; all worked out again in whole numbers of any length, cut to 32 bits.
  expect(from(1, 4)).toEqual([
    0.6270739405881613, 0.002735721180215478, 0.5274470399599522, 0.9810509674716741,
  ]);
  expect(from(0, 3)).toEqual([0.26642920868471265, 0.0003297457005828619, 0.2232720274478197]);
});
