import { expect, it } from "vitest";
import { drawnPrint, IN_REGISTER, isOnePrint } from "../../../client/panel/seen-print.ts";
import { FIRST_VIEW } from "../../../client/panel/view.ts";
import { PRINTS } from "../../../server/engine/print/steadiness.ts";
import { job } from "./view-job.ts";

it("goes round a row of prints, in which the plates of the shown setup lie off the first of them", () => {
  const print = drawnPrint(job, FIRST_VIEW, 3);
  expect(print).toMatchObject({ kind: "one", draw: 3 });
  expect([...print.shifts.keys()]).toEqual(["base", "ember"]);
  expect(print.shifts.get("base")).toEqual([0, 0]);
  expect(Math.hypot(...print.shifts.get("ember")!)).toBeGreaterThan(0);
  expect(drawnPrint(job, FIRST_VIEW, 3 + PRINTS)).toEqual(print);
  expect(drawnPrint(job, FIRST_VIEW, -1).draw).toBe(PRINTS - 1);
});

it("is the large picture's in a proof alone", () => {
  const print = drawnPrint(job, FIRST_VIEW, 0);
  expect(isOnePrint(FIRST_VIEW, print)).toBe(true);
  expect(isOnePrint(FIRST_VIEW, IN_REGISTER)).toBe(false);
  expect(isOnePrint({ ...FIRST_VIEW, mode: "wipe" }, print)).toBe(false);
});
