import { expect, it } from "vitest";
import { labFromBytes, WHITE_D50 } from "../../server/engine/colour/cielab.ts";
import {
  BANDS,
  D50,
  FIRST_NM,
  labFromSpectrum,
  STEP_NM,
  TABLE_WHITE,
  xyzFromSpectrum,
} from "../../server/engine/print/observer.ts";
import { spectrumOf } from "../../server/engine/print/spectrum.ts";

it("gives the perfect diffuser the white of D50 (CIE 15)", () => {
  const { X, Y, Z } = xyzFromSpectrum(new Float64Array(BANDS).fill(1));
  expect([X, Y, Z].map((v) => v.toFixed(10))).toEqual(
    [WHITE_D50.X, WHITE_D50.Y, WHITE_D50.Z].map((v) => v.toFixed(10)),
  );
});

it("holds tables whose white is that of ASTM E308 for D50 and the 1931 observer", () => {
  // 96.422, 100, 82.521: from memory, as ICC profiles round it too (0.9642, 1, 0.8249).
  expect(Math.abs(TABLE_WHITE.X / 0.96422 - 1)).toBeLessThan(1e-3);
  expect(Math.abs(TABLE_WHITE.Z / 0.82521 - 1)).toBeLessThan(1e-3);
});

/** Mean daylight and its two characteristic vectors S0, S1, S2 (CIE 15), 380 to 730 nm, every 10: from memory. */
const DAYLIGHT = [
  [63.4, 38.5, 3],
  [65.8, 35, 1.2],
  [94.8, 43.4, -1.1],
  [104.8, 46.3, -0.5],
  [105.9, 43.9, -0.7],
  [96.8, 37.1, -1.2],
  [113.9, 36.7, -2.6],
  [125.6, 35.9, -2.9],
  [125.5, 32.6, -2.8],
  [121.3, 27.9, -2.6],
  [121.3, 24.3, -2.6],
  [113.5, 20.1, -1.8],
  [113.1, 16.2, -1.5],
  [110.8, 13.2, -1.3],
  [106.5, 8.6, -1.2],
  [108.8, 6.1, -1],
  [105.3, 4.2, -0.5],
  [104.4, 1.9, -0.3],
  [100, 0, 0],
  [96, -1.6, 0.2],
  [95.1, -3.5, 0.5],
  [89.1, -3.5, 2.1],
  [90.5, -5.8, 3.2],
  [90.3, -7.2, 4.1],
  [88.4, -8.6, 4.7],
  [84, -9.5, 5.1],
  [85.1, -10.9, 6.7],
  [81.9, -10.7, 7.3],
  [82.6, -12, 8.6],
  [84.9, -14, 9.8],
  [81.3, -13.6, 10.2],
  [71.9, -12, 8.3],
  [74.3, -13.3, 9.6],
  [76.4, -12.9, 8.5],
  [63.3, -10.6, 7],
  [71.7, -11.6, 7.6],
] as const;

it("holds the D50 that CIE 15 makes of mean daylight and its two vectors, at 5000 K of its time", () => {
  // c₂ was 0.01438 m K when D50 was named, and is 0.014388 now.
  const T = (5000 * 1.4388) / 1.438;
  const x = -4.607e9 / T ** 3 + 2.9678e6 / T ** 2 + 0.09911e3 / T + 0.244063;
  const y = -3 * x ** 2 + 2.87 * x - 0.275;
  const divisor = 0.0241 + 0.2562 * x - 0.7341 * y;
  const M1 = (-1.3515 - 1.7703 * x + 5.9114 * y) / divisor;
  const M2 = (0.03 - 31.4424 * x + 30.0717 * y) / divisor;
  expect(D50).toHaveLength(BANDS);
  expect([FIRST_NM, FIRST_NM + (BANDS - 1) * STEP_NM]).toEqual([380, 730]);
  for (const [i, [s0, s1, s2]] of DAYLIGHT.entries())
    expect(Math.abs(D50[i] - (s0 + M1 * s1 + M2 * s2)), `${380 + 10 * i} nm`).toBeLessThan(0.1);
});

it("puts one band at its wavelength's place on the spectrum locus (CIE 15, 550 nm: x 0.3016, y 0.6923)", () => {
  const R = new Float64Array(BANDS);
  R[(550 - 380) / 10] = 1;
  const { X, Y, Z } = xyzFromSpectrum(R);
  expect(X / (X + Y + Z)).toBeCloseTo(0.3016, 2);
  expect(Y / (X + Y + Z)).toBeCloseTo(0.6923, 2);
});

it("finds a reflectance between 0 and 1 for every colour of sRGB, to a hundredth of CIELAB", () => {
  // Jakob & Hanika, Computer Graphics Forum 38(2), 2019: the family reaches all of sRGB.
  for (let r = 0; r < 256; r += 51) {
    for (let g = 0; g < 256; g += 51) {
      for (let b = 0; b < 256; b += 51) {
        const colour = labFromBytes(r, g, b);
        const R = spectrumOf(colour);
        const found = labFromSpectrum(R);
        expect(Math.hypot(found.L - colour.L, found.a - colour.a, found.b - colour.b)).toBeLessThan(0.01);
        expect(Math.min(...R)).toBeGreaterThanOrEqual(0);
        expect(Math.max(...R)).toBeLessThanOrEqual(1);
      }
    }
  }
});

it("gives the nearest that it finds for a colour that no surface has", () => {
  const found = labFromSpectrum(spectrumOf({ L: 90, a: -120, b: 110 }));
  expect(found.L).toBeGreaterThan(70);
  expect(found.a).toBeLessThan(-50);
});
