import { expect, it } from "vitest";
import { filmOf, printOver } from "../../../server/engine/print/ink-film.ts";
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
