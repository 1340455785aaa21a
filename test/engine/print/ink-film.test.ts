import { expect, it } from "vitest";
import { colourOf, filmOf, opacityOf, printOver } from "../../../server/engine/print/ink-film.ts";
import { BANDS, labFromSpectrum, xyzFromSpectrum } from "../../../server/engine/print/observer.ts";
import { random } from "../../property.ts";

// Contrast ratio, ISO 6504-3: luminance over black ÷ over white (the standard from memory).
it("has the colour and the contrast ratio that its ink is given, whatever they are", () => {
  const next = random(31);
  for (let i = 0; i < 300; i++) {
    const L = 8 + next() * 88;
    // No more chroma than surfaces of that lightness have.
    const chroma = () => (next() - 0.5) * 0.6 * Math.min(L, 110 - L);
    const colour = { L, a: chroma(), b: chroma() };
    const opacity = i < 20 ? [0.001, 0.999][i % 2] : next();
    const film = filmOf({ colour, opacity });
    const overWhite = new Float64Array(BANDS).fill(1);
    printOver(film, overWhite, overWhite);
    const { Y } = xyzFromSpectrum(overWhite);
    expect(xyzFromSpectrum(film.reflected).Y / Y).toBeCloseTo(opacity, 8);
    const seen = labFromSpectrum(overWhite);
    expect(Math.hypot(seen.L - L, seen.a - colour.a, seen.b - colour.b)).toBeLessThan(0.001);
    // No band passes or reflects more than falls on it.
    for (let band = 0; band < BANDS; band++)
      expect(film.reflected[band] + Math.sqrt(film.transmittanceSquared[band])).toBeLessThanOrEqual(
        1 + 1e-12,
      );
  }
});

it("has the contrast ratio also where no surface has the colour, and almost none or almost all is hidden", () => {
  const next = random(32);
  for (let i = 0; i < 1000; i++) {
    const colour = { L: 0.5 + next() * 99, a: (next() - 0.5) * 160, b: (next() - 0.5) * 160 };
    const opacity = [next(), next() ** 6, 1 - next() ** 6][i % 3];
    const film = filmOf({ colour, opacity });
    const overWhite = new Float64Array(BANDS).fill(1);
    printOver(film, overWhite, overWhite);
    const ratio = xyzFromSpectrum(film.reflected).Y / xyzFromSpectrum(overWhite).Y;
    expect(Math.abs(ratio - opacity), JSON.stringify({ colour, opacity })).toBeLessThan(1e-4);
  }
});

it("tells colour and contrast ratio as they were given, or from what was measured", () => {
  const colour = { L: 50, a: 20, b: -10 };
  expect([colourOf({ colour, opacity: 0.3 }), opacityOf({ colour, opacity: 0.3 })]).toEqual([colour, 0.3]);
  // On ideal cards the luminances of the readings themselves: ((L* + 16) / 116)³.
  const overBlack = { L: 34, a: 12, b: -9 };
  const measured = { overWhite: colour, overBlack };
  expect(colourOf(measured)).toEqual(colour);
  expect(opacityOf(measured)).toBeCloseTo((50 / 66) ** 3, 3);
  // On a grey card that reflects 0.8 and 0.05 a film of 0.3 over black and T² = 0.2 reads as Kubelka has it.
  const grey = (R: number) => ({ L: 116 * Math.cbrt(R) - 16, a: 0, b: 0 });
  const read = (G: number) => grey(0.3 + (0.2 * G) / (1 - 0.3 * G));
  const card = { white: grey(0.8), black: grey(0.05) };
  const onCard = { overWhite: read(0.8), overBlack: read(0.05), card };
  expect(opacityOf(onCard)).toBeCloseTo(0.3 / (0.3 + 0.2 / 0.7), 4);
});
