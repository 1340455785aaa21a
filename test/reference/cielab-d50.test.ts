import { expect, it } from "vitest";
import { EPSILON, hueOf, KAPPA, labFromBytes } from "../../server/engine/colour/cielab.ts";

// CIE 15, Bradford adaptation from sRGB (computed twice: by culori and by colorjs.io, which agree to 4e-5).
for (const [hex, L, a, b] of [
  ["#ff0000", 54.2905, 80.8049, 69.891],
  ["#008000", 46.2777, -47.5524, 48.5863],
  ["#c86432", 54.2174, 38.1977, 46.2491],
] as const) {
  it(`gives ${hex} as L* ${L}, a* ${a}, b* ${b}`, () => {
    const lab = labFromBytes(...bytesOf(hex));
    expect(Math.abs(lab.L - L)).toBeLessThan(1e-3);
    expect(Math.abs(lab.a - a)).toBeLessThan(1e-3);
    expect(Math.abs(lab.b - b)).toBeLessThan(1e-3);
  });
}

it("has the junction and the slope of CIE 15: ε = (6/29)³, κ = (29/3)³", () => {
  expect(EPSILON).toBeCloseTo((6 / 29) ** 3, 15);
  expect(KAPPA).toBeCloseTo((29 / 3) ** 3, 10);
});

it("gives white and black exactly", () => {
  const [white, black] = [labFromBytes(255, 255, 255), labFromBytes(0, 0, 0)];
  for (const [seen, wanted] of [
    [white.L, 100],
    [white.a, 0],
    [white.b, 0],
    [black.L, 0],
    [black.a, 0],
    [black.b, 0],
  ]) {
    expect(seen).toBeCloseTo(wanted, 12);
  }
});

// Hue angles of the values above, hab = atan2(b*, a*), worked out by hand: 69.8910 / 80.8049 = 0.86494 → 40.858°;
// 180° − atan(48.5863 / 47.5524 = 1.02174) = 180° − 45.616° = 134.384°; 46.2491 / 38.1977 = 1.21078 → 50.447°.
for (const [hex, hue] of [
  ["#ff0000", 40.858],
  ["#008000", 134.384],
  ["#c86432", 50.447],
] as const) {
  it(`gives ${hex} the hue angle ${hue}°`, () => {
    const { a, b } = labFromBytes(...bytesOf(hex));
    expect(Math.abs(hueOf(a, b) - hue)).toBeLessThan(2e-3);
  });
}

function bytesOf(hex: string): [number, number, number] {
  const code = Number.parseInt(hex.slice(1), 16);
  return [code >> 16, (code >> 8) & 255, code & 255];
}
