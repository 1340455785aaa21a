import { expect, it } from "vitest";
import { WHITE_D50, XYZ_OF_RGB } from "../../server/engine/colour/cielab.ts";
import { linearFromSrgb, srgbFromLinear } from "../../server/engine/colour/srgb.ts";

// IEC 61966-2-1:1999.
it("changes from the straight to the curved part at 0.04045 and 0.0031308", () => {
  expect(linearFromSrgb(0.04045)).toBe(0.04045 / 12.92);
  expect(linearFromSrgb(0.040451)).toBe(((0.040451 + 0.055) / 1.055) ** 2.4);
  expect(srgbFromLinear(0.0031308)).toBe(0.0031308 * 12.92);
  expect(srgbFromLinear(0.0031309)).toBe(1.055 * 0.0031309 ** (1 / 2.4) - 0.055);
});

it("leaves no visible step where the parts meet", () => {
  // The standard's rounded constants leave 3e-8 of linear light and some 1e-7 of an encoded component.
  expect(Math.abs(linearFromSrgb(0.04045) - ((0.04045 + 0.055) / 1.055) ** 2.4)).toBeLessThan(1e-7);
  expect(Math.abs(srgbFromLinear(0.0031308) - (1.055 * 0.0031308 ** (1 / 2.4) - 0.055))).toBeLessThan(1e-6);
});

it("keeps black and white", () => {
  expect([linearFromSrgb(0), linearFromSrgb(1), srgbFromLinear(0)]).toEqual([0, 1, 0]);
  expect(srgbFromLinear(1)).toBeCloseTo(1, 12);
});

type Row = readonly [number, number, number];
const times = (rows: readonly Row[], [x, y, z]: Row) =>
  rows.map(([a, b, c]) => a * x + b * y + c * z) as [number, number, number];

/** The Bradford matrix (ICC.1, annex E) and its inverse as published there in four decimals or more: from memory. */
const BRADFORD: readonly Row[] = [
  [0.8951, 0.2664, -0.1614],
  [-0.7502, 1.7135, 0.0367],
  [0.0389, -0.0685, 1.0296],
];
const BRADFORD_INVERSE: readonly Row[] = [
  [0.9869929, -0.1470543, 0.1599627],
  [0.4323053, 0.5183603, 0.0492912],
  [-0.0085287, 0.0400428, 0.9684867],
];

it("has the standard's primary: #ff0000 is XYZ 0.412391 0.212639 0.019331 under D65", () => {
  // The engine holds its matrix under D50; Bradford's adaptation undone gives the standard's own.
  const red = XYZ_OF_RGB.map(([r]) => r) as unknown as Row;
  const D65: Row = [0.3127 / 0.329, 1, (1 - 0.3127 - 0.329) / 0.329];
  const [r50, g50, b50] = times(BRADFORD, [WHITE_D50.X, WHITE_D50.Y, WHITE_D50.Z]);
  const [r65, g65, b65] = times(BRADFORD, D65);
  const [r, g, b] = times(BRADFORD, red);
  const seen = times(BRADFORD_INVERSE, [(r * r65) / r50, (g * g65) / g50, (b * b65) / b50]);
  for (const [i, wanted] of [0.412391, 0.212639, 0.019331].entries()) {
    expect(Math.abs(seen[i] - wanted)).toBeLessThan(2e-6);
  }
});
