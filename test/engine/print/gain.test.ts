import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { deltaE00 } from "../../../server/engine/colour/ciede2000.ts";
import { labFromLinear } from "../../../server/engine/colour/cielab.ts";
import {
  areasFromWedge,
  areaTable,
  compensatedTones,
  filmTone,
  type Gain,
  gainFromWedge,
  printedTone,
  wedgeResidual,
} from "../../../server/engine/print/gain.ts";
import { halftone } from "../../../server/engine/print/halftone.ts";
import { preparePrint } from "../../../server/engine/print/model.ts";
import { holds } from "../../property.ts";

const GAIN: Gain = [
  [0, 0],
  [0.25, 0.36],
  [0.5, 0.66],
  [0.75, 0.87],
  [1, 1],
];

/** Rising tables from nothing to solid. */
const gains = fc.uniqueArray(fc.integer({ min: 1, max: 99 }), { minLength: 1, maxLength: 6 }).chain((films) =>
  fc
    .uniqueArray(fc.integer({ min: 1, max: 99 }), { minLength: films.length, maxLength: films.length })
    .map((printed): Gain => {
      const rising = (list: number[]) => [...list].sort((a, b) => a - b);
      const pairs = rising(films).map((film, i) => [film / 100, rising(printed)[i] / 100] as const);
      return [[0, 0], ...pairs, [1, 1]];
    }),
);

describe("dot gain", () => {
  it("goes through every measured tone, rising between them", () => {
    holds(
      fc.property(gains, (gain) => {
        const forward = printedTone(gain);
        for (const [film, printed] of gain) expect(forward(film)).toBeCloseTo(printed, 9);
        const tones = Array.from({ length: 201 }, (_, i) => forward(i / 200));
        expect(tones.findIndex((tone, i) => i > 0 && tone < tones[i - 1])).toBe(-1);
      }),
    );
  });

  it("has an inverse for films", () => {
    holds(
      fc.property(gains, fc.double({ min: 0, max: 1, noNaN: true }), (gain, tone) => {
        expect(printedTone(gain)(filmTone(gain)(tone))).toBeCloseTo(tone, 6);
      }),
    );
    expect([filmTone(GAIN)(0), filmTone(GAIN)(1)]).toEqual([0, 1]);
    expect(filmTone(GAIN)(0.66)).toBeCloseTo(0.5, 9);
  });
});

describe("printed areas of plate tones", () => {
  it("are the tones themselves without a gain", () => {
    expect([...areaTable(undefined, false, 0.04)].every((a, byte) => Math.abs(a - byte / 255) < 1e-6)).toBe(
      true,
    );
  });

  it("are grown where films are not compensated", () => {
    expect(areaTable({ tones: GAIN }, false, 0.04)[128]).toBeCloseTo(printedTone(GAIN)(128 / 255), 6);
  });

  it("are the tones again where they are, but for dots that the film cannot hold", () => {
    const areas = areaTable({ tones: GAIN }, true, 0.04);
    for (let byte = 26; byte <= 225; byte++) expect(areas[byte]).toBeCloseTo(byte / 255, 5);
    // The film's smallest dot prints as more: nothing comes between.
    const least = printedTone(GAIN)(Math.round(0.04 * 255) / 255);
    const light = [...areas.slice(0, 20)];
    expect(light.filter((a) => a > 0 && a < least - 1e-6)).toEqual([]);
    expect([light[0], areas[255]]).toEqual([0, 1]);
  });
});

describe("films that are compensated", () => {
  it("have the tone that prints as the plate's, but for dots and holes that would be too small", () => {
    const films = compensatedTones(GAIN, 0.1);
    // 0.36 and 0.66 of 255 are bytes 92 and 168, which print as film tones 0.25 and 0.5.
    expect(films[92]).toBeCloseTo(0.25, 2);
    expect(films[168]).toBeCloseTo(0.5, 2);
    expect(films[230]).toBeCloseTo(filmTone(GAIN)(230 / 255), 9);
    expect([films.length, films[0], films[255]]).toEqual([256, 0, 1]);
    // Under half of the smallest dot nothing, from there on that dot; and so of holes.
    const light = [...films].filter((film) => film < 0.1 || film > 0.9);
    expect(new Set(light)).toEqual(new Set([0, 1]));
    expect(films.filter((film) => Math.abs(film - 0.1) < 1e-9).length).toBeGreaterThan(5);
  });
});

describe("the area of a printed tone value", () => {
  const half = (tone: number) => tone / 2;

  it("is that of the tone which the gain makes of the film's", () => {
    expect(areaTable({ tones: GAIN }, false, 0, half)[128]).toBeCloseTo(printedTone(GAIN)(128 / 255) / 2, 6);
  });

  it("is the one that readings gave, where they did, of films that are compensated by tone values", () => {
    const areas: Gain = [
      [0, 0],
      [0.5, 0.6],
      [1, 1],
    ];
    expect(areaTable({ tones: GAIN, areas }, false, 0, half)[128]).toBeCloseTo(
      printedTone(areas)(128 / 255),
      6,
    );
    // Plate tone 0.66 is film tone 0.5.
    expect(areaTable({ tones: GAIN, areas }, true, 0, half)[168]).toBeCloseTo(0.6, 2);
  });
});

describe("a measured wedge", () => {
  const [paper, solid] = [0.85, 0.05];
  const grey = (R: number) => labFromLinear({ r: R, g: R, b: R });
  it.each([1, 1.7, 2])("gives back the areas that it was printed with, n = %d", (n) => {
    const steps = GAIN.map(([tone, area]) => ({ tone, colour: grey(halftone(area, solid, paper, n)) }));
    areasFromWedge([...steps].reverse(), n).forEach(([film, printed], i) => {
      expect(film).toBe(GAIN[i][0]);
      expect(printed).toBeCloseTo(GAIN[i][1], 6);
    });
  });

  it("gives no less than nothing and no more than all, where readings lie beyond its ends", () => {
    const steps = [paper, 0.9, 0.02, solid].map((R, i) => ({ tone: i / 3, colour: grey(R) }));
    for (const n of [1, 1.7])
      expect(areasFromWedge(steps, n).map(([, printed]) => Math.round(printed * 1e6) / 1e6)).toEqual([
        0, 0, 1, 1,
      ]);
  });

  it("gives tone values in what is asked for: of greys, shares of lightness", () => {
    const steps = [90, 62, 20].map((L, i) => ({ tone: i / 2, colour: { L, a: 0, b: 0 } }));
    // 28 of 70.
    expect(gainFromWedge(steps, "spot-colour")[1][1]).toBeCloseTo(0.4, 9);
    expect(gainFromWedge(steps)[1][1]).toBeGreaterThan(0.5);
  });

  it("is off by nothing under the factor that it was printed with, and by more under others", () => {
    const steps = GAIN.map(([tone, area]) => ({ tone, colour: grey(halftone(area, solid, paper, 1.7)) }));
    expect(wedgeResidual([...steps].reverse(), 1.7)).toBeLessThan(1e-4);
    expect(wedgeResidual([steps[0], steps[4]], 1.7)).toBe(0);
    // Of greys any n gives any grey. Of a red each band asks for an area of its own, and they agree under one n alone.
    const ink = { colour: { L: 50, a: 65, b: 45 }, opacity: 0.5 };
    const conditions = { garment: grey(paper), n: 1.7, compensated: false, smallestDot: 0 };
    const red = preparePrint(conditions, [{ ink }]);
    const reds = GAIN.map(([tone, area]) => ({ tone, colour: labFromLinear(red.colour([area])) }));
    expect(wedgeResidual(reds, 1.7)).toBeLessThan(1e-3);
    expect(wedgeResidual(reds, 1)).toBeGreaterThan(0.5);
  });

  it("is off by the mean of its tints' distances", () => {
    // Greys mix to greys: the nearest to a colour beside them has its lightness.
    const steps = [grey(paper), { L: 60, a: 0, b: 6 }, { L: 50, a: 0, b: 0 }, grey(solid)].map(
      (colour, i) => ({
        tone: i / 3,
        colour,
      }),
    );
    const off = deltaE00(60, 0, 0, 60, 0, 6);
    for (const n of [1, 2]) expect(wedgeResidual(steps, n)).toBeCloseTo(off / 2, 4);
    expect(wedgeResidual([steps[0], steps[1], steps[3]], 1)).toBeCloseTo(off, 4);
  });

  it("gives no areas where both ends are of one colour", () => {
    const steps = [0, 0.5, 1].map((tone) => ({ tone, colour: grey(paper) }));
    expect(() => gainFromWedge(steps)).toThrow("the wedge's solid has the colour of what is bare");
  });
});
