import { expect, it } from "vitest";
import { Scratch } from "../../server/engine/scratch.ts";

it("lends two buffers of the length that is asked for, in the same memory as long as it is enough", () => {
  const scratch = new Scratch();
  const [one, two] = scratch.pair(10);
  expect([one.length, two.length, one.buffer === two.buffer]).toEqual([10, 10, false]);
  const [shorter, other] = scratch.pair(4);
  expect([shorter.length, other.length]).toEqual([4, 4]);
  expect([shorter.buffer === one.buffer, other.buffer === two.buffer]).toEqual([true, true]);
  expect(scratch.pair(10)[0].buffer).toBe(one.buffer);
  const [longer] = scratch.pair(11);
  expect([longer.length, longer.buffer === one.buffer]).toEqual([11, false]);
});
