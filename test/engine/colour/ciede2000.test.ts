import fc from "fast-check";
import { expect, it } from "vitest";
import { deltaE00, deltaParts, isFarther } from "../../../server/engine/colour/ciede2000.ts";
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

/** The formula as Sharma, Wu & Dalal 2005 print it, step by step, in degrees. */
function plainly([L1, a1, b1]: readonly number[], [L2, a2, b2]: readonly number[]): number {
  const degrees = (angle: number) => (angle * 180) / Math.PI;
  const [sin, cos] = [Math.sin, Math.cos].map((f) => (angle: number) => f((angle * Math.PI) / 180));
  const mean = (Math.hypot(a1, b1) + Math.hypot(a2, b2)) / 2;
  const G = 0.5 * (1 - Math.sqrt(mean ** 7 / (mean ** 7 + 25 ** 7)));
  const [A1, A2] = [a1 * (1 + G), a2 * (1 + G)];
  const [C1, C2] = [Math.hypot(A1, b1), Math.hypot(A2, b2)];
  const hue = (a: number, b: number) => (a === 0 && b === 0 ? 0 : (degrees(Math.atan2(b, a)) + 360) % 360);
  const [h1, h2] = [hue(A1, b1), hue(A2, b2)];
  const grey = C1 * C2 === 0;
  let dh = h2 - h1;
  if (dh > 180) dh -= 360;
  if (dh < -180) dh += 360;
  if (grey) dh = 0;
  const dH = 2 * Math.sqrt(C1 * C2) * sin(dh / 2);
  const [L, C] = [(L1 + L2) / 2, (C1 + C2) / 2];
  let h = (h1 + h2) / 2;
  if (grey) h = h1 + h2;
  else if (Math.abs(h1 - h2) > 180) h += h1 + h2 < 360 ? 180 : -180;
  const T = 1 - 0.17 * cos(h - 30) + 0.24 * cos(2 * h) + 0.32 * cos(3 * h + 6) - 0.2 * cos(4 * h - 63);
  const turn = 30 * Math.exp(-(((h - 275) / 25) ** 2));
  const RT = -2 * Math.sqrt(C ** 7 / (C ** 7 + 25 ** 7)) * sin(2 * turn);
  const l = (L2 - L1) / (1 + (0.015 * (L - 50) ** 2) / Math.sqrt(20 + (L - 50) ** 2));
  const c = (C2 - C1) / (1 + 0.045 * C);
  const hh = dH / (1 + 0.015 * C * T);
  return Math.sqrt(l * l + c * c + hh * hh + RT * c * hh);
}

// Whole tenths, since the formula itself jumps where hues are opposite to the last digit.
const tenths = fc
  .tuple(fc.nat(1000), fc.integer({ min: -1200, max: 1200 }), fc.integer({ min: -1200, max: 1200 }))
  .map((of) => of.map((v) => v / 10) as [number, number, number]);
const nearlyOpposite = fc
  .tuple(tenths, fc.integer({ min: 2, max: 30 }), fc.integer({ min: 1, max: 300 }), fc.constantFrom(-1, 1))
  .map(([[L, a, b], times, turn, sign]) => {
    const [x, y] = [a - sign * turn * 1e-4 * b, b + sign * turn * 1e-4 * a];
    return [
      [L, a, b],
      [L, (-times / 10) * x, (-times / 10) * y],
    ] as const;
  });
const withGrey = fc.tuple(tenths, fc.nat(100)).map(([one, L]) => [one, [L, 0, 0]] as const);
const pairs = fc.oneof(fc.tuple(tenths, tenths), nearlyOpposite, withGrey);

it("is the published formula, and its three parts squared and summed are its square", () => {
  const parts = new Float64Array(3);
  holds(
    fc.property(pairs, ([one, other]) => {
      const [[L1, a1, b1], [L2, a2, b2]] = [one, other];
      const wanted = plainly(one, other);
      expect(deltaE00(L1, a1, b1, L2, a2, b2)).toBeCloseTo(wanted, 7);
      deltaParts(L1, a1, b1, L2, a2, b2, parts);
      expect(Math.hypot(...parts)).toBeCloseTo(wanted, 7);
    }),
    1500,
  );
});

it("tells whether colours differ by more than that, near or far apart", () => {
  // Beside one another too, where it is told without roots.
  const near = fc
    .tuple(
      tenths,
      fc.integer({ min: -9, max: 9 }),
      fc.integer({ min: -9, max: 9 }),
      fc.integer({ min: -9, max: 9 }),
    )
    .map(
      ([[L, a, b], l, x, y]) =>
        [
          [L, a, b],
          [L + l / 10, a + x / 10, b + y / 10],
        ] as const,
    );
  holds(
    fc.property(fc.oneof(pairs, near), ([[L1, a1, b1], [L2, a2, b2]]) => {
      const off = deltaE00(L1, a1, b1, L2, a2, b2);
      for (const share of [0.3, 0.999, 1.001, 3])
        expect(isFarther(L1, a1, b1, L2, a2, b2, off * share)).toBe(off > 0 && share < 1);
    }),
    1000,
  );
});

it("has parts that tell which way: lighter, more colourful, turned on anticlockwise", () => {
  const parts = new Float64Array(3);
  deltaParts(40, 30, 0, 60, 30, 0, parts);
  expect([Math.sign(parts[0]), parts[1], parts[2]]).toEqual([1, 0, 0]);
  deltaParts(50, 30, 0, 50, 20, 0, parts);
  expect([parts[0], Math.sign(parts[1]), parts[2]]).toEqual([0, -1, 0]);
  deltaParts(50, 30, 0, 50, 0, 30, parts);
  expect(Math.sign(parts[2])).toBe(1);
});

it("is 100 between white and black", () => {
  // Both neutral, mean L* 50, so that SL = 1.
  expect(deltaE00(100, 0, 0, 0, 0, 0)).toBe(100);
});
