import fc from "fast-check";
import { expect, it } from "vitest";
import { deltaE00, isFarther } from "../../../server/engine/colour/ciede2000.ts";
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

it("tells colours that are farther apart than some difference, near ones too", () => {
  const some = fc.double({ min: -1, max: 1, noNaN: true });
  holds(
    fc.property(lab, fc.tuple(some, some, some), fc.double({ min: 0.1, max: 20 }), (one, step, most) => {
      const other = one.map((value, i) => value + 1.5 * most * step[i]!) as [number, number, number];
      expect(isFarther(...one, ...other, most)).toBe(deltaE00(...one, ...other) > most);
    }),
    5000,
  );
});
