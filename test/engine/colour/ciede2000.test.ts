import fc from "fast-check";
import { expect, it } from "vitest";
import { deltaE00, deltaE00Within } from "../../../server/engine/colour/ciede2000.ts";
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

it("up to a reach is itself, and beyond it Infinity, wherever that is decided", () => {
  const reaches = fc.oneof(fc.constantFrom(0, 0.005, 1, 2), fc.double({ min: 0, max: 110, noNaN: true }));
  // A colour and one beside it or anywhere; blues more often than chance has it, since there chroma and hue are turned.
  const blue = fc.tuple(
    fc.double({ min: 0, max: 100, noNaN: true }),
    fc.double({ min: -30, max: 60, noNaN: true }),
    fc.double({ min: -120, max: 0, noNaN: true }),
  );
  const pairs = fc.oneof(
    fc.tuple(lab, lab),
    fc.tuple(blue, blue),
    fc.tuple(lab, fc.double({ min: 0, max: 0.3, noNaN: true })).map(([[L, a, b], near]) => {
      const beside = [L * (1 - near), a * (1 + near) - near, b * (1 - near) + near];
      return [[L, a, b], beside] as [number[], number[]];
    }),
  );
  holds(
    fc.property(pairs, reaches, ([p, q], reach) => {
      const [L1, a1, b1, L2, a2, b2] = [...p, ...q] as [number, number, number, number, number, number];
      const difference = deltaE00(L1, a1, b1, L2, a2, b2);
      for (const at of [reach, difference]) {
        const within = deltaE00Within(at, L1, a1, b1, L2, a2, b2);
        expect(within).toBe(difference <= at ? difference : Number.POSITIVE_INFINITY);
      }
    }),
    20_000,
  );
});
