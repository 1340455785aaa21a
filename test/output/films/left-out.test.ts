import { describe, expect, it } from "vitest";
import { leftOutOf, leftOutText } from "../../../server/output/films/left-out.ts";

const NOTHING = { count: 0, mm2: 0 };
const none = { marks: NOTHING, holes: NOTHING, lines: NOTHING, gaps: NOTHING };

describe("what a screen does not hold", () => {
  it("is counted, with its area by the film's pixels and the plate's", () => {
    const dropped = { marks: 3, markPixels: 40, holes: 2, holePixels: 12 };
    const lost = { lines: 5, linePixels: 6, gaps: 7, gapPixels: 9 };
    expect(leftOutOf(dropped, 0.1, lost, 0.5)).toEqual({
      marks: { count: 3, mm2: 0.4 },
      holes: { count: 2, mm2: 0.12 },
      lines: { count: 5, mm2: 1.5 },
      gaps: { count: 7, mm2: 2.25 },
    });
    // To a hundredth.
    expect(leftOutOf({ ...dropped, markPixels: 1 }, 0.127, undefined, 0).marks.mm2).toBe(0.02);
  });

  it("is nothing where nothing is known", () => {
    expect(leftOutOf(undefined, 0.1, undefined, 0.5)).toEqual(none);
  });
});

describe("what was left out, in words", () => {
  it("is told by kind, as far as there is any", () => {
    const of = (count: number, mm2: number) => ({ count, mm2 });
    expect(
      leftOutText({ marks: of(20, 12.34), holes: of(1, 0.05), lines: of(2, 0.049), gaps: of(3, 1) }),
    ).toBe(
      "left out 20 marks (12.3 mm²), filled 1 hole (0.1 mm²), left out 2 lines (under 0.1 mm²), closed 3 gaps (1.0 mm²)",
    );
    expect(leftOutText({ ...none, gaps: of(1, 2) })).toBe("closed 1 gap (2.0 mm²)");
    expect(leftOutText(none)).toBeUndefined();
  });
});
