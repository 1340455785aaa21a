import { describe, expect, it } from "vitest";
import { type Lab, labFromLinear } from "../../../server/engine/colour/cielab.ts";
import { mixingBands } from "../../../server/engine/print/bands.ts";
import { filmOf, substrateOf } from "../../../server/engine/print/ink-film.ts";
import { mixInFull } from "../../../server/engine/print/neugebauer-primaries.ts";
import { areaOfToneValue, toneValueOf } from "../../../server/engine/print/tone-value.ts";

const PAPER = { L: 94, a: 0.4, b: -2.1 };
const SOLID = { L: 48.2, a: 66.1, b: 38.4 };
const TINT = { L: 70.3, a: 31.5, b: 12.2 };

/** X/Xn, Y/Yn, Z/Zn by CIE 15, written out here. */
function xyz({ L, a, b }: Lab): [number, number, number] {
  const y = (L + 16) / 116;
  const back = (f: number) => (f > 6 / 29 ? f ** 3 : 3 * (6 / 29) ** 2 * (f - 4 / 29));
  return [back(y + a / 500), back(y), back(y - b / 200)];
}

describe("spot colour tone value", () => {
  // ISO 20654:2017: V = 116 f(t) − 16 of X/Xn, Y/Yn, Z/Zn; the root of summed squares, tint ÷ solid.
  it("is the formula of ISO 20654 from tristimulus values", () => {
    const v = (colour: Lab) =>
      xyz(colour).map((t) => 116 * (t > (6 / 29) ** 3 ? Math.cbrt(t) : (841 / 108) * t + 4 / 29) - 16);
    const distance = (colour: Lab) => {
      const [p, c] = [v(PAPER), v(colour)];
      return Math.sqrt((c[0]! - p[0]!) ** 2 + (c[1]! - p[1]!) ** 2 + (c[2]! - p[2]!) ** 2);
    };
    const wanted = distance(TINT) / distance(SOLID);
    expect(wanted).toBeGreaterThan(0.4);
    expect(toneValueOf(TINT, PAPER, SOLID, "spot-colour")).toBeCloseTo(wanted, 12);
  });

  it("of greys is the share of lightness, and even steps of L* are even steps of it", () => {
    const grey = (L: number) => ({ L, a: 0, b: 0 });
    for (const t of [0, 0.25, 0.5, 0.9, 1])
      expect(toneValueOf(grey(90 - 70 * t), grey(90), grey(20), "spot-colour")).toBeCloseTo(t, 12);
  });
});

describe("Murray–Davies", () => {
  it("of greys is the quotient of reflectances", () => {
    const grey = (R: number) => labFromLinear({ r: R, g: R, b: R });
    expect(toneValueOf(grey(0.5), grey(0.8), grey(0.1), "murray-davies")).toBeCloseTo(0.3 / 0.7, 9);
  });
});

describe("the area of a tone value", () => {
  const film = filmOf({ colour: SOLID, opacity: 0.7 });
  it.each([
    [1.4, "murray-davies"],
    [2, "murray-davies"],
    [1, "spot-colour"],
    [1.7, "spot-colour"],
  ] as const)("prints as that tone value on white, n = %d, %s", (n, meant) => {
    const bands = mixingBands(n);
    const white = new Float64Array(36).fill(1);
    const printed = (area: number) => labFromLinear(mixInFull(white, [film], [area], bands, n));
    const areaOf = areaOfToneValue(film, bands, n, meant);
    // Readings may lie beyond both ends, areas do not.
    expect([-0.1, 0, 1, 1.1].map(areaOf)).toEqual([0, 0, 1, 1]);
    for (const tone of [0.02, 0.1, 0.36, 0.66, 0.87, 0.98])
      expect(toneValueOf(printed(areaOf(tone)), printed(0), printed(1), meant)).toBeCloseTo(tone, 3);
  });

  it("of a white ink is told on black, where it shows", () => {
    const white = filmOf({ colour: { L: 96, a: 0, b: 1 }, opacity: 0.93 });
    const bands = mixingBands(1.6);
    const black = substrateOf({ L: 0, a: 0, b: 0 });
    const printed = (area: number) => labFromLinear(mixInFull(black, [white], [area], bands, 1.6));
    const area = areaOfToneValue(white, bands, 1.6, "murray-davies")(0.5);
    expect(toneValueOf(printed(area), printed(0), printed(1), "murray-davies")).toBeCloseTo(0.5, 2);
  });

  it("is the tone value itself where light does not spread", () => {
    expect(areaOfToneValue(film, mixingBands(1), 1, "murray-davies")(0.37)).toBe(0.37);
  });
});

it("is no number where ground and solid are of one colour", () => {
  for (const meant of ["spot-colour", "murray-davies"] as const)
    expect(toneValueOf(TINT, PAPER, PAPER, meant)).not.toBeLessThan(Number.POSITIVE_INFINITY);
});
