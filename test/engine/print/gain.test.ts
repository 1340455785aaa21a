import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { labFromLinear } from "../../../server/engine/colour/cielab.ts";
import {
  areasFromWedge,
  areaTable,
  filmTone,
  type Gain,
  gainFromWedge,
  printedTone,
} from "../../../server/engine/print/gain.ts";
import { halftone } from "../../../server/engine/print/halftone.ts";
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
        for (let i = 1; i <= 200; i++)
          expect(forward(i / 200)).toBeGreaterThanOrEqual(forward((i - 1) / 200));
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

describe("a measured wedge", () => {
  const [paper, solid] = [0.85, 0.05];
  const grey = (R: number) => labFromLinear({ r: R, g: R, b: R });
  it.each([1, 1.7])("gives back the areas that it was printed with, n = %d", (n) => {
    const steps = GAIN.map(([tone, area]) => ({ tone, colour: grey(halftone(area, solid, paper, n)) }));
    areasFromWedge([...steps].reverse(), n).forEach(([film, printed], i) => {
      expect(film).toBe(GAIN[i][0]);
      expect(printed).toBeCloseTo(GAIN[i][1], 6);
    });
  });

  it("gives no areas where both ends are of one colour", () => {
    const steps = [0, 0.5, 1].map((tone) => ({ tone, colour: grey(paper) }));
    expect(() => gainFromWedge(steps)).toThrow("the wedge's solid has the colour of what is bare");
  });
});
