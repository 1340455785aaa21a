import { expect, it } from "vitest";
import { movedBy, shiftsOfDraw } from "../../../client/panel/register-shift.ts";
import { registerDraw } from "../../../server/engine/print/steadiness.ts";

it("lays plates off the first as steadiness does, in the same draws of the shop's register", () => {
  const shifts = shiftsOfDraw(["base", "gold"], 3, 0.1);
  const [first, second] = [registerDraw(0, 3), registerDraw(1, 3)];
  for (const axis of [0, 1] as const)
    expect(shifts.get("gold")![axis]).toBeCloseTo(
      ((second[axis] - first[axis]) * 0.1) / (2.5 * Math.SQRT2),
      9,
    );
  expect(shifts.get("base")).toEqual([0, 0]);
  expect(shiftsOfDraw(["base", "gold"], 3, 0.1)).toEqual(shifts);
  expect(shiftsOfDraw(["base", "gold"], 4, 0.1)).not.toEqual(shifts);
});

it("moves one plate by hundredths of a millimetre", () => {
  const once = movedBy(new Map(), "gold", "ArrowRight")!;
  const twice = movedBy(once, "gold", "ArrowDown")!;
  expect([...twice]).toEqual([["gold", [0.01, 0.01]]]);
  expect(movedBy(twice, "gold", "Enter")).toBeUndefined();
  expect([...once]).toEqual([["gold", [0.01, 0]]]);
  const back = movedBy(movedBy(twice, "gold", "ArrowLeft")!, "gold", "ArrowUp")!;
  expect([...back]).toEqual([["gold", [0, 0]]]);
  expect([...movedBy(once, "base", "ArrowLeft")!]).toEqual([
    ["gold", [0.01, 0]],
    ["base", [-0.01, 0]],
  ]);
});
