import fc from "fast-check";
import { expect, it } from "vitest";
import { deltaE00 } from "../../../server/engine/colour/ciede2000.ts";
import { holds } from "../../property.ts";

const lab = fc.tuple(
  fc.double({ min: 0, max: 100, noNaN: true }),
  fc.double({ min: -120, max: 120, noNaN: true }),
  fc.double({ min: -120, max: 120, noNaN: true }),
);

it("is nothing between a colour and itself", () => {
  holds(
    fc.property(lab, (colour) => {
      expect(deltaE00(...colour, ...colour)).toBe(0);
    }),
    500,
  );
});

it("is the same both ways, and never less than nothing", () => {
  holds(
    fc.property(lab, lab, (one, other) => {
      const there = deltaE00(...one, ...other);
      expect(there).toBeGreaterThanOrEqual(0);
      expect(deltaE00(...other, ...one)).toBeCloseTo(there, 9);
    }),
    1000,
  );
});

it("is 100 between white and black", () => {
  // Both neutral, mean L* 50, so that SL = 1.
  expect(deltaE00(100, 0, 0, 0, 0, 0)).toBe(100);
});
