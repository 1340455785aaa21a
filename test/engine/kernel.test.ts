import { expect, it } from "vitest";
import { kernelOf } from "../../server/engine/kernel.ts";
import { LOWER_MODULE } from "../../server/engine/trap/generated/lower.ts";

it("has as much memory as is asked for at least, and keeps what it had", () => {
  const tones = kernelOf<object>(LOWER_MODULE);
  for (const bytes of [1, 65_536, 65_537, 200_000, 1000]) {
    const before = tones(0).memory.buffer.byteLength;
    const { byteLength } = tones(bytes).memory.buffer;
    expect(byteLength).toBeGreaterThanOrEqual(Math.max(bytes, before));
  }
  // Whole pages, and no more of them than are needed.
  expect(tones(0).memory.buffer.byteLength).toBe(4 * 65_536);
});

it("has the tables laid again of whoever asks after somebody else", () => {
  const kernel = kernelOf<object>(LOWER_MODULE);
  const laid: string[] = [];
  const tenant = (name: string) => ({ lay: () => laid.push(name) });
  const [one, other] = [tenant("one"), tenant("other")];
  for (const asks of [one, one, other, one, undefined, one]) kernel(1, asks);
  expect(laid).toEqual(["one", "other", "one", "one"]);
});
