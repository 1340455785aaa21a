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

  it("are the smallest whose ruling is within 0.2 %, whose angle is within 0.04° and that has four tones to each of 256", () => {
    const fits = (cells: number, dpi: number, lpi: number, angle: number) => {
      const [cos, sin] = [Math.cos((angle * Math.PI) / 180), Math.sin((angle * Math.PI) / 180)];
      const [across, up] = [cos, sin].map((side) => Math.round((cells * dpi * side) / lpi));
      const long = Math.hypot(across, up);
      // How far off along the side asked for, and how far beside it.
      const turn = Math.atan2(up * cos - across * sin, across * cos + up * sin);
      const ruling = (cells * dpi) / long / lpi;
      return Math.abs(ruling - 1) <= 0.002 && Math.abs(turn) <= (0.04 * Math.PI) / 180 && long ** 2 >= 1024;
    };
    for (const dpi of [300, 600, 720, 1200, 2540])
      for (const lpi of [20, 45, 55, 65, 85])
        for (const angle of [0, 7.5, 22.5, 45, 61, 90, 179.9, -179.9]) {
          const { cells } = supercellFor(dpi, lpi, angle);
          const smallest = Array.from({ length: cells }, (_, n) => n + 1).find((n) =>
            fits(n, dpi, lpi, angle),
          );
          expect(smallest, `${dpi} ${lpi} ${angle}`).toBe(cells);
        }
  });

  it("come as near as 400 cells do, which are 32 pixels along at least", () => {
    expect(supercellFor(10, 125, 0)).toEqual({ cells: 400, across: 32, up: 0 });
    // 397 cells are 32.02 pixels along, 400 are 32.26.
    expect(supercellFor(10, 124, 0)).toEqual({ cells: 397, across: 32, up: 0 });
    expect(() => supercellFor(10, 130, 0)).toThrow(
      new RangeError("no cell of 130 lpi can be made at 10 dpi"),
    );
  });

  it("hold a ruling finer than the film in several cells", () => {
    expect(supercellFor(1200, 600, 0).cells).toBeGreaterThan(1);
  });
});
