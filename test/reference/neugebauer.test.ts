import { describe, expect, it } from "vitest";
import { deltaE00 } from "../../server/engine/colour/ciede2000.ts";
import { type Lab, labFromLinear } from "../../server/engine/colour/cielab.ts";
import { mixingBands } from "../../server/engine/print/bands.ts";
import { demichel, power, root } from "../../server/engine/print/halftone.ts";
import { filmOf, type InkFilm, printOver, substrateOf } from "../../server/engine/print/ink-film.ts";
import { Mixer } from "../../server/engine/print/mixer.ts";
import { preparePrint } from "../../server/engine/print/model.ts";
import { mixInFull, neugebauerPrimaries } from "../../server/engine/print/neugebauer-primaries.ts";
import { BANDS, labFromSpectrum, xyzFromSpectrum } from "../../server/engine/print/observer.ts";
import { random } from "../property.ts";

const WHITE: Lab = { L: 100, a: 0, b: 0 };
const SHELF: readonly Lab[] = [
  { L: 96, a: 0, b: 2 },
  { L: 81, a: 14, b: 78 },
  { L: 57, a: -42, b: 46 },
  { L: 46, a: -10, b: -42 },
  { L: 56, a: 56, b: 56 },
  { L: 42, a: 42, b: -58 },
  { L: 52, a: 0, b: 2 },
  { L: 52, a: 58, b: -4 },
  { L: 80, a: -28, b: 8 },
  { L: 6, a: 0, b: -1 },
];

const difference = (x: Lab, y: Lab) => deltaE00(x.L, x.a, x.b, y.L, y.a, y.b);

describe("Neugebauer (Westland & Ripamonti 2004 §9.4)", () => {
  it("weighs the spectra of all overprints by Demichel: exactly, with n = 1", () => {
    const next = random(21);
    for (let job = 0; job < 40; job++) {
      const films = Array.from({ length: 1 + Math.floor(next() * 6) }, () =>
        filmOf({ colour: SHELF[Math.floor(next() * SHELF.length)], opacity: next() }),
      );
      const areas = films.map(() => (next() < 0.2 ? 0 : next() < 0.2 ? 1 : next()));
      const ground = substrateOf({ L: 5 + next() * 90, a: 0, b: 0 });
      // The long way: a spectrum for every overprint, and their mean.
      const mean = new Float64Array(BANDS);
      demichel(areas).forEach((weight, mask) => {
        const R = ground.slice();
        films.forEach((film, i) => {
          if ((mask >> i) & 1) printOver(film, R, R);
        });
        R.forEach((v, band) => {
          mean[band] += weight * v;
        });
      });
      const found = labFromLinear(mixInFull(ground, films, areas, mixingBands(1), 1));
      expect(difference(labFromSpectrum(mean), found)).toBeLessThan(1e-6);
    }
  });

  it("comes near to mixing band by band with n > 1, although it mixes in three bands", () => {
    const next = random(22);
    const errors: number[] = [];
    for (let job = 0; job < 100; job++) {
      const n = 1.2 + next();
      const films = Array.from({ length: 2 }, () =>
        filmOf({ colour: SHELF[Math.floor(next() * SHELF.length)], opacity: 0.4 + next() * 0.6 }),
      );
      const areas = films.map(next);
      const ground = substrateOf({ L: 95, a: 0, b: 0 });
      const mean = new Float64Array(BANDS);
      demichel(areas).forEach((weight, mask) => {
        const R = ground.slice();
        films.forEach((film, i) => {
          if ((mask >> i) & 1) printOver(film, R, R);
        });
        R.forEach((v, band) => {
          mean[band] += weight * root(v, n);
        });
      });
      const bandByBand = labFromSpectrum(mean.map((v) => power(v, n)));
      errors.push(difference(bandByBand, labFromLinear(mixInFull(ground, films, areas, mixingBands(n), n))));
    }
    // Seen: 0.51, and 2.5 at most, on saturated inks at n near 2.
    expect(errors.reduce((a, b) => a + b) / errors.length).toBeLessThan(0.6);
    expect(Math.max(...errors)).toBeLessThan(3);
  });
});

describe("the fast form", () => {
  it.each([1, 1.5, 2])(
    "keeps within 0.5 ΔE00 of the full one over random tones and print orders, n = %d",
    (n) => {
      const next = random(23 + n);
      const bands = mixingBands(n);
      let worst = 0;
      for (let order = 0; order < 70; order++) {
        const inks = [...SHELF].sort(() => next() - 0.5).slice(0, 1 + Math.floor(next() * SHELF.length));
        const films = inks.map((colour) => filmOf({ colour, opacity: 0.2 + 0.8 * next() }));
        const ground = substrateOf({ L: 4 + next() * 92, a: next() * 20 - 10, b: next() * 20 - 10 });
        const mixer = new Mixer(neugebauerPrimaries(ground, films, bands, n), films.length);
        for (let vector = 0; vector < 48; vector++) {
          const areas = films.map(() => (next() < 0.45 ? 0 : next() < 0.2 ? 1 : next()));
          let base = 0;
          let halftones = 0;
          for (const [s, a] of areas.entries()) {
            if (a === 1) base += 3 << s;
            else if (a > 0) {
              mixer.share[halftones] = a;
              mixer.offset[halftones++] = 3 << s;
            }
          }
          mixer.mix(base, halftones);
          const [x, y, z] = [...mixer.mixed.subarray(0, 3)].map((v) => power(v, n));
          const m = bands.toRgb ?? [1, 0, 0, 0, 1, 0, 0, 0, 1];
          const fast = {
            r: m[0] * x + m[1] * y + m[2] * z,
            g: m[3] * x + m[4] * y + m[5] * z,
            b: m[6] * x + m[7] * y + m[8] * z,
          };
          const full = mixInFull(ground, films, areas, bands, n);
          worst = Math.max(worst, difference(labFromLinear(fast), labFromLinear(full)));
        }
      }
      // 3 × 3360 vectors. It is the same sum in another order: seen 3e-4.
      expect(worst).toBeLessThan(0.5);
      expect(worst).toBeLessThan(0.01);
    },
  );
});

describe("a draw-down (ISO 6504-3, contrast ratio 100 · Yb / Yw; the standard from memory)", () => {
  const cases: InkFilm[] = SHELF.flatMap((colour) =>
    [0.05, 0.3, 0.7, 0.93, 1].map((opacity) => ({ colour, opacity })),
  );

  it.each(cases)("gives back $colour.L $colour.a $colour.b and a ratio of $opacity", (ink) => {
    if (!("colour" in ink)) throw new Error("made so above");
    const film = filmOf(ink);
    const [overWhite, overBlack] = [1, 0].map((ground) => {
      const R = new Float64Array(BANDS).fill(ground);
      printOver(film, R, R);
      return R;
    });
    expect(difference(labFromSpectrum(overWhite), ink.colour)).toBeLessThan(0.1);
    const ratio = (100 * xyzFromSpectrum(overBlack).Y) / xyzFromSpectrum(overWhite).Y;
    expect(Math.abs(ratio - 100 * ink.opacity)).toBeLessThan(0.1);
  });

  it("gives back what was measured over white and over black, on ideal cards and real ones", () => {
    const card = { white: { L: 95.6, a: -0.4, b: 1.9 }, black: { L: 11.8, a: 0.2, b: -0.3 } };
    for (const [overWhite, overBlack] of [
      [
        { L: 55.8, a: 57.1, b: 54.6 },
        { L: 45.9, a: 47.5, b: 38.2 },
      ],
      [
        { L: 79, a: 8, b: 72 },
        { L: 66, a: 1, b: 55 },
      ],
      [
        { L: 44, a: -8, b: -40 },
        { L: 33, a: -6, b: -32 },
      ],
    ]) {
      for (const of of [undefined, card]) {
        const film = filmOf({ overWhite, overBlack, card: of });
        const [white, black] = of
          ? [substrateOf(of.white), substrateOf(of.black)]
          : [1, 0].map((v) => new Float64Array(BANDS).fill(v));
        for (const [ground, wanted] of [
          [white, overWhite],
          [black, overBlack],
        ] as const) {
          const R = new Float64Array(BANDS);
          printOver(film, ground, R);
          expect(difference(labFromSpectrum(R), wanted)).toBeLessThan(0.1);
        }
      }
    }
  });
});

describe("limits", () => {
  const conditions = { garment: { L: 40, a: 30, b: -20 }, n: 1, compensated: false, smallestDot: 0 };
  const ready = preparePrint(conditions, [
    { ink: { colour: SHELF[4], opacity: 1 } },
    { ink: { colour: SHELF[3], opacity: 0.6 } },
  ]);

  it("no ink leaves the garment", () => {
    expect(difference(labFromLinear(ready.colour([0, 0])), conditions.garment)).toBeLessThan(1e-3);
  });

  it("full opaque ink hides everything below", () => {
    expect(difference(labFromLinear(ready.colour([1, 0])), SHELF[4])).toBeLessThan(1e-3);
  });

  it("an ink over ideal white has its own colour", () => {
    const onWhite = preparePrint({ ...conditions, garment: WHITE }, [
      { ink: { colour: SHELF[3], opacity: 0.6 } },
    ]);
    expect(difference(labFromLinear(onWhite.colour([1])), SHELF[3])).toBeLessThan(0.05);
  });
});
