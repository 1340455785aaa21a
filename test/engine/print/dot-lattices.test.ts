import { describe, expect, it } from "vitest";
import { dotLattices, registerDeviation } from "../../../server/engine/print/dot-lattices.ts";
import type { Screening } from "../../../server/engine/screen/halftone.ts";

const am = (angle: number, rulingLpi = 45, dot: "round" | "line" = "round"): Screening => ({
  method: "am",
  rulingLpi,
  angle,
  dot,
});
const GRAIN: Screening = { method: "fm", grainMm: 0.12 };

function groups(...screens: (Screening | undefined)[]): number[][] {
  return dotLattices(screens, 0.1).map(({ stations }) => [...stations]);
}

describe("stations share a lattice", () => {
  it.each([
    ["of one screen", [am(22.5), am(22.5), am(22.5)], [[0, 1, 2]]],
    ["whose angles differ by the dot's turn", [am(0), am(90), am(-180)], [[0, 1, 2]]],
    ["a line's by 180° alone", [am(0, 45, "line"), am(90, 45, "line"), am(180, 45, "line")], [[0, 2]]],
    ["but not of other angles or rulings", [am(22.5), am(52.5), am(22.5, 46)], []],
    ["but not of other dots", [am(22.5), am(22.5, 45, "line")], []],
    [
      "one group beside another",
      [am(22.5), am(52.5), am(22.5), am(52.5)],
      [
        [0, 2],
        [1, 3],
      ],
    ],
    [
      "but not of grains, or of screens that are not known",
      [GRAIN, GRAIN, undefined, undefined, am(22.5)],
      [],
    ],
  ])("%s", (_, screens, expected) => {
    expect(groups(...screens)).toEqual(expected);
  });

  it("as long as the register is finer than the dots", () => {
    expect(dotLattices([am(22.5), am(22.5)], 0.99)).toHaveLength(1);
    expect(dotLattices([am(22.5), am(22.5)], 1)).toEqual([]);
    expect(dotLattices([am(22.5, 65), am(22.5, 65)], 0.7)).toEqual([]);
  });
});

it("takes a shop's figure for 2.5 deviations between two plates", () => {
  expect(registerDeviation(0.1)).toBeCloseTo(0.0283, 4);
});
