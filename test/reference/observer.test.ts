import { expect, it } from "vitest";
import { labFromBytes, WHITE_D50 } from "../../server/engine/colour/cielab.ts";
import { BANDS, labFromSpectrum, TABLE_WHITE, xyzFromSpectrum } from "../../server/engine/print/observer.ts";
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
