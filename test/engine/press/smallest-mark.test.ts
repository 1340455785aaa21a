import { expect, it } from "vitest";
import { smallestMarkMm } from "../../../server/engine/press/smallest-mark.ts";
import type { DotName } from "../../../server/engine/screen/spot-functions.ts";

const am = (dot: DotName) => ({ method: "am", rulingLpi: 50, angle: 22.5, dot }) as const;
const PITCH = 25.4 / 50;

it.each(["round", "ellipse", "square"] as const)("of a %s dot is a disc of half its area", (dot) => {
  const across = smallestMarkMm(am(dot), 0.04);
  expect((Math.PI / 4) * across ** 2).toBeCloseTo((0.04 * PITCH ** 2) / 2, 12);
});

// 0.7 of it: common practice, no source.
it.each(["line", "LineX", "Cross"] as const)("of %s is most of the width of its smallest line", (dot) => {
  expect(smallestMarkMm(am(dot), 0.04)).toBeCloseTo(0.7 * 0.04 * PITCH, 12);
});

it("of grains is one of them, whatever the smallest dot", () => {
  expect(smallestMarkMm({ method: "fm", grainMm: 0.12 }, 0.04)).toBe(0.12);
});
