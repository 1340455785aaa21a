import { describe, expect, it } from "vitest";
import { angleOf, rulingOf, supercellFor } from "../../../server/engine/screen/supercell.ts";

describe("supercells", () => {
  it("hold ruling within 0.5 % and angle within 0.1° at any resolution of film", () => {
    for (const dpi of [360, 600, 720, 1200, 1440, 2400, 2540])
      for (const lpi of [25, 35, 45, 55, 65])
        for (const angle of [0, 7.5, 15, 22.5, 45, 52.5, 61, 82.5, 90, -22.5, 105]) {
          const cell = supercellFor(dpi, lpi, angle);
          expect(Math.abs(rulingOf(cell, dpi) / lpi - 1), `${dpi} ${lpi} ${angle}`).toBeLessThan(0.005);
          expect(Math.abs(angleOf(cell) - angle), `${dpi} ${lpi} ${angle}`).toBeLessThan(0.1);
        }
  });

  it("have the standard's ruling and angle where one cell is given by whole pixels", () => {
    // ISO 32000-1, type 10 example: 300 dpi, X = 5, Y = 6.
    const cell = { cells: 1, across: 5, up: 6 };
    expect(rulingOf(cell, 300)).toBeCloseTo(38.411, 3);
    expect(angleOf(cell)).toBeCloseTo(50.194, 3);
  });

  it("refuse a ruling finer than the film", () => {
    expect(supercellFor(1200, 600, 0).cells).toBeGreaterThan(1);
  });
});
