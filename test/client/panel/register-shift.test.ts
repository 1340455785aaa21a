import { expect, it } from "vitest";
import { movedBy, shiftsOfDraw } from "../../../client/panel/register-shift.ts";
import { registerDraw } from "../../../server/engine/print/steadiness.ts";

it("lays plates as steadiness does, in the same draws of the shop's register", () => {
  const shifts = shiftsOfDraw(["base", "gold"], 3, 0.1);
  const [x, y] = registerDraw(1, 3);
  expect(shifts.get("gold")![0]).toBeCloseTo((x * 0.1) / (2.5 * Math.SQRT2), 9);
  expect(shifts.get("gold")![1]).toBeCloseTo((y * 0.1) / (2.5 * Math.SQRT2), 9);
  expect(shiftsOfDraw(["base", "gold"], 3, 0.1)).toEqual(shifts);
  expect(shiftsOfDraw(["base", "gold"], 4, 0.1)).not.toEqual(shifts);
  expect(shiftsOfDraw(["base"], undefined, 0.1).size).toBe(0);
});

it("moves one plate by hundredths of a millimetre", () => {
  const once = movedBy(new Map(), "gold", "ArrowRight")!;
  const twice = movedBy(once, "gold", "ArrowDown")!;
  expect([...twice]).toEqual([["gold", [0.01, 0.01]]]);
  expect(movedBy(twice, "gold", "Enter")).toBeUndefined();
  expect([...once]).toEqual([["gold", [0.01, 0]]]);
});
