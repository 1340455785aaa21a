import { expect, it } from "vitest";
import { Thirds } from "../../../server/engine/inspect/thirds.ts";

it("adds up weights", () => {
  const where = new Thirds(3, 3);
  where.add(0, 0.5);
  where.add(8, 2);
  expect([where.sum, where.column, where.row]).toEqual([2.5, 2, 2]);
});

it("names no third that has not more than six tenths", () => {
  const where = new Thirds(3, 3);
  for (const [pixel, weight] of [
    [0, 6],
    [8, 4],
  ] as const)
    where.add(pixel, weight);
  expect([where.column, where.row]).toEqual([undefined, undefined]);
  where.add(6, 1);
  expect([where.column, where.row]).toEqual([0, undefined]);
});
