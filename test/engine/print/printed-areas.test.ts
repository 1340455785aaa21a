import { describe, expect, it } from "vitest";
import { labFromBytes, labFromLinear } from "../../../server/engine/colour/cielab.ts";
import { preparePrint } from "../../../server/engine/print/model.ts";
import { toneValueOf } from "../../../server/engine/print/tone-value.ts";

describe("printed areas", () => {
  const straight = [
    [0, 0],
    [1, 1],
  ] as const;
  const film = { colour: labFromBytes(90, 104, 130), opacity: 0.9 };
  const on = (n: number) => ({ garment: labFromBytes(255, 255, 255), n, compensated: false, smallestDot: 0 });

  it.each([
    [1, "spot-colour"],
    [2, "murray-davies"],
    [1.6, "spot-colour"],
    [1.6, undefined],
  ] as const)("print on white as the tone value that is told, n = %d, %s", (n, toneValue) => {
    const print = preparePrint(on(n), [{ ink: film, gain: { tones: straight, toneValue } }]);
    const [ground, seen, solid] = [0, 128, 255].map((tone) =>
      labFromLinear(print.colour([print.areas[0][tone]])),
    );
    expect(toneValueOf(seen, ground, solid, toneValue ?? "murray-davies")).toBeCloseTo(128 / 255, 3);
    expect(Math.abs(print.areas[0][128] - 128 / 255)).toBeGreaterThan(0.05);
  });

  it("are those that readings gave, whatever tones are told in", () => {
    const areas = [
      [0, 0],
      [128 / 255, 0.6],
      [1, 1],
    ] as const;
    for (const toneValue of ["spot-colour", "murray-davies"] as const) {
      const print = preparePrint(on(2), [{ ink: film, gain: { tones: straight, toneValue, areas } }]);
      expect(print.areas[0][128]).toBeCloseTo(0.6, 6);
    }
  });

  it("are one table for stations that grow alike", () => {
    const gain = { tones: straight };
    const [one, two, three] = preparePrint(on(1), [
      { ink: film, gain },
      { ink: { ...film, opacity: 0.4 }, gain },
      { ink: film },
    ]).areas;
    expect(two).toBe(one);
    expect(three).not.toBe(one);
  });
});
