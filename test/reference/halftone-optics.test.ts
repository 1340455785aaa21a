import { expect, it } from "vitest";
import { labFromLinear } from "../../server/engine/colour/cielab.ts";
import { linearFromSrgb } from "../../server/engine/colour/srgb.ts";
import { linearFilm } from "../../server/engine/print/linear-film.ts";
import type { InkFilm } from "../../server/engine/print/model.ts";

/** A proof is 8-bit sRGB: half of a byte's step is at most 0.0045 of reflectance. */
const HALF_STEP = 0.0045;

const grey = (R: number) => labFromLinear({ r: R, g: R, b: R });
const opaque = (R: number): InkFilm => ({ colour: grey(R), opacity: 1 });

/** Reflectance of a print of neutral inks, read from the proof; areas 0–1, in print order. */
function reflectance(substrate: number, prints: readonly (readonly [ink: InkFilm, area: number])[]): number {
  const out = new Uint8Array(3);
  const impressions = prints.map(([ink, area]) => ({ ink, tones: Uint8Array.of(area * 255) }));
  linearFilm.print(grey(substrate), impressions, 0, 1, out);
  return linearFromSrgb(out[1] / 255);
}

/** The same of one ink at an area between two 8-bit tones. */
function halftone(paper: number, solid: number, area: number): number {
  const [low, high] = [Math.floor(area * 255), Math.ceil(area * 255)];
  const at = (tone: number) => reflectance(paper, [[opaque(solid), tone / 255]]);
  const share = area * 255 - low;
  return (1 - share) * at(low) + share * at(high);
}

// Murray–Davies: Westland & Ripamonti 2004, eqs 9.1–9.4, with n = 1. Density D = −log10 R, over paper of density 0.
for (const [area, Ds, D] of [
  // Published (alt-photo-process list 2004) to four decimals, and recomputed.
  [0.5, 3.0, 0.3005959],
  [0.5, 1.33, 0.2811773],
  // Computed from the published equation: the area that gives density D.
  [0.5194942, 1.4, 0.3],
  [0.71212233, 1.4, 0.5],
  [0.82661359, 1.5, 0.7],
] as const) {
  it(`gives density ${D} for ${(area * 100).toFixed(1)} % of an ink of density ${Ds} (Murray–Davies)`, () => {
    expect(Math.abs(halftone(1, 10 ** -Ds, area) - 10 ** -D)).toBeLessThan(HALF_STEP);
  });
}

it("gives reflectance 0.42 for half of 0.04 on paper of 0.8 (Murray–Davies)", () => {
  expect(Math.abs(halftone(0.8, 0.04, 0.5) - 0.42)).toBeLessThan(HALF_STEP);
});

it("covers white 0.36, cyan 0.24, yellow 0.24 and both 0.16 with 40 % of two inks (Demichel)", () => {
  // Westland & Ripamonti 2004 §9.4, p. 147. Each area is made the only one that reflects; 40 % is 102 of 255 exactly.
  const [bright, dark] = [opaque(1), opaque(0)];
  const white = reflectance(1, [
    [dark, 0.4],
    [dark, 0.4],
  ]);
  const cyan = reflectance(0, [
    [bright, 0.4],
    [dark, 0.4],
  ]);
  // A bright ink under a clear one shows wherever it prints: alone and under the other. So does one printed last.
  const cyanAndBoth = reflectance(0, [
    [bright, 0.4],
    [{ colour: grey(1), opacity: 0 }, 0.4],
  ]);
  const yellowAndBoth = reflectance(0, [
    [dark, 0.4],
    [bright, 0.4],
  ]);
  const both = cyanAndBoth - cyan;
  for (const [seen, wanted] of [
    [white, 0.36],
    [cyan, 0.24],
    [yellowAndBoth - both, 0.24],
    [both, 0.16],
  ]) {
    expect(Math.abs(seen - wanted)).toBeLessThan(HALF_STEP);
  }
});
