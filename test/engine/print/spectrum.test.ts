import { expect, it } from "vitest";
import { BANDS, labFromSpectrum } from "../../../server/engine/print/observer.ts";
import { spectrumOf } from "../../../server/engine/print/spectrum.ts";

/** What S(x) = ½ + x / 2√(1 + x²) was taken of. */
const before = (R: number) => (2 * R - 1) / Math.sqrt(1 - (2 * R - 1) ** 2);

it("is S of a parabola over the wavelengths (Jakob & Hanika 2019): its third differences are nothing", () => {
  for (const colour of [
    { L: 52, a: 40, b: 20 },
    { L: 70, a: -30, b: 40 },
    { L: 30, a: 10, b: -40 },
  ]) {
    const x = [...spectrumOf(colour)].map(before);
    const spread = Math.max(...x) - Math.min(...x);
    expect(spread).toBeGreaterThan(0.5);
    for (let i = 3; i < BANDS; i++)
      expect(Math.abs(x[i] - 3 * x[i - 1] + 3 * x[i - 2] - x[i - 3])).toBeLessThan(1e-9 * spread);
  }
});

it("of a neutral is flat", () => {
  for (const L of [5, 20, 50, 90]) {
    const R = spectrumOf({ L, a: 0, b: 0 });
    const Y = L > 8 ? ((L + 16) / 116) ** 3 : (L * 27) / 24389;
    for (const v of R) expect(v).toBeCloseTo(Y, 5);
  }
});

it("has a colour without passing another spectrum in any band, where one is given", () => {
  const light = spectrumOf({ L: 79, a: 8, b: 72 });
  const colour = { L: 60, a: 4, b: 50 };
  const R = spectrumOf(colour, light);
  const seen = labFromSpectrum(R);
  expect(Math.hypot(seen.L - colour.L, seen.a - colour.a, seen.b - colour.b)).toBeLessThan(1e-3);
  expect([...R].every((v, i) => v >= 0 && v <= light[i])).toBe(true);
});
