import { describe, expect, it } from "vitest";
import { demichel, dotArea, halftone } from "../../server/engine/print/halftone.ts";
import { random } from "../property.ts";

const reflectance = (density: number) => 10 ** -density;

describe("Murray–Davies and Yule–Nielsen (Westland & Ripamonti 2004, eqs 9.1–9.4)", () => {
  // Area, solid density over paper of density 0, density: published (alt-photo-process list 2004), recomputed.
  it.each([
    [0.5, 3.0, 0.3005959],
    [0.5, 1.33, 0.2811773],
  ])("%d of an ink of density %d has density %d", (a, Ds, D) => {
    expect(-Math.log10(halftone(a, reflectance(Ds), 1, 1))).toBeCloseTo(D, 6);
  });

  // Tint density, solid density, n, area in percent: computed from the published equation.
  it.each([
    [0.3, 1.4, 1, 51.94942],
    [0.3, 1.4, 1.7, 39.29022],
    [0.3, 1.4, 2, 36.48517],
    [0.5, 1.4, 1, 71.212233],
    [0.5, 1.4, 1.7, 57.888714],
    [0.5, 1.4, 2, 54.674955],
    [0.7, 1.5, 1, 82.661359],
    [0.7, 1.5, 1.7, 70.496252],
    [0.7, 1.5, 2, 67.299345],
  ])("density %d of an ink of %d at n = %d is an area of %d %%", (Dt, Ds, n, area) => {
    expect(100 * dotArea(reflectance(Dt), reflectance(Ds), 1, n)).toBeCloseTo(area, 5);
  });

  // Area, solid, paper, n, reflectance: computed from the published equation.
  it.each([
    [0.5, 0.04, 0.8, 1, 0.42],
    [0.5, 0.04, 0.8, 1.7, 0.322334273],
    [0.5, 0.04, 0.8, 2, 0.299442719],
    [0.25, 0.1, 0.9, 2, 0.625],
  ])("%d of %d on %d at n = %d reflects %d", (a, solid, paper, n, R) => {
    expect(halftone(a, solid, paper, n)).toBeCloseTo(R, 8);
  });

  it("gives the ends exactly and its own inverse, for any n", () => {
    const next = random(6);
    for (let i = 0; i < 200; i++) {
      const [a, solid, n] = [next(), next() * 0.5, 1 + next() * 3];
      const paper = solid + 0.05 + next() * 0.4;
      expect(halftone(0, solid, paper, n)).toBeCloseTo(paper, 12);
      expect(halftone(1, solid, paper, n)).toBeCloseTo(solid, 12);
      expect(dotArea(halftone(a, solid, paper, n), solid, paper, n)).toBeCloseTo(a, 8);
    }
  });
});

describe("Demichel (Westland & Ripamonti 2004 §9.4, p. 147)", () => {
  it("covers white 0.36, cyan 0.24, yellow 0.24 and both 0.16 with 40 % of two inks", () => {
    const shares = demichel([0.4, 0.4]);
    for (const [mask, share] of [0.36, 0.24, 0.24, 0.16].entries())
      expect(shares[mask]).toBeCloseTo(share, 12);
  });

  it("shares out the whole ground, whatever the areas", () => {
    const next = random(7);
    for (let inks = 0; inks <= 12; inks++) {
      const shares = demichel(Array.from({ length: inks }, next));
      expect(shares).toHaveLength(2 ** inks);
      expect(shares.reduce((a, b) => a + b, 0)).toBeCloseTo(1, 12);
      expect(Math.min(...shares)).toBeGreaterThanOrEqual(0);
    }
  });
});
