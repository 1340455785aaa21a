import { expect, it, vi } from "vitest";
import { memo } from "../../server/engine/memo.ts";

it("makes a value once for equal arguments, and the oldest again once there are more than it keeps", () => {
  const make = vi.fn(({ a }: { a: number }, b: string) => `${a}${b}`);
  const kept = memo(2, make);
  expect([kept({ a: 1 }, "x"), kept({ a: 1 }, "x"), kept({ a: 1 }, "y")]).toEqual(["1x", "1x", "1y"]);
  expect(make).toHaveBeenCalledTimes(2);
  kept({ a: 2 }, "x");
  kept({ a: 1 }, "y");
  expect(make).toHaveBeenCalledTimes(3);
  kept({ a: 1 }, "x");
  expect(make).toHaveBeenCalledTimes(4);
});
