import fc from "fast-check";
import { expect, it } from "vitest";
import { differenceOf } from "../../server/wire/tone-difference.ts";
import { holds } from "../property.ts";
import { withDifference } from "./with-difference.ts";

/** A plate, and the same with some stretches changed. */
const pairs = fc
  .record({
    before: fc.array(fc.nat(255), { maxLength: 900 }),
    changes: fc.array(fc.tuple(fc.nat(900), fc.integer({ min: 1, max: 60 }), fc.nat(255)), { maxLength: 8 }),
  })
  .map(({ before, changes }) => {
    const now = Uint8Array.from(before);
    for (const [from, length, tone] of changes) now.fill(tone, from, from + length);
    return { before: Uint8Array.from(before), now };
  });

it("gives the plate back that it was made of", () => {
  holds(
    fc.property(pairs, ({ before, now }) => {
      const difference = differenceOf(before, now, 5000)!;
      expect([...withDifference(before, difference)]).toEqual([...now]);
    }),
    1000,
  );
});

it("is as good as nothing where nothing differs, however large the plates are", () => {
  const plate = new Uint8Array(2_000_003).fill(9);
  expect(differenceOf(plate, plate.slice(), 100)).toHaveLength(3);
});

it("tells stretches far apart and long ones", () => {
  const before = new Uint8Array(3_000_000);
  const now = before.slice();
  now.fill(200, 1, 700_000);
  now[2_999_999] = 1;
  const difference = differenceOf(before, now, 1_000_000)!;
  expect(difference.length).toBeLessThan(700_020);
  expect(Buffer.compare(withDifference(before, difference), now)).toBe(0);
});

it("is not made where it would take more than it may", () => {
  const before = new Uint8Array(4000);
  const now = before.slice().fill(7, 0, 400);
  expect(differenceOf(before, now, 399)).toBeUndefined();
  expect(differenceOf(before, now, 420)).toBeDefined();
  expect(differenceOf(new Uint8Array(3), new Uint8Array(3), 2)).toBeUndefined();
});

it("never takes more than it may, nor fails for want of it", () => {
  holds(
    fc.property(pairs, fc.nat(1000), ({ before, now }, most) => {
      const difference = differenceOf(before, now, most);
      expect(difference?.length ?? 0).toBeLessThanOrEqual(most);
      if (difference) expect([...withDifference(before, difference)]).toEqual([...now]);
    }),
    500,
  );
});

it("of another plate is refused", () => {
  const before = new Uint8Array(400);
  const difference = differenceOf(before, before.slice().fill(1, 300), 1000)!;
  expect(() => withDifference(new Uint8Array(200), difference)).toThrow(RangeError);
  expect(() => withDifference(before, difference.subarray(0, 20))).toThrow(RangeError);
});

it("is a piece of memory of its own: the next difference leaves it as it is", () => {
  const before = new Uint8Array(400);
  const [first, second] = [before.slice().fill(9, 40, 80), before.slice().fill(200, 100, 300)];
  const differences = [first, second].map((now) => differenceOf(before, now, 400)!);
  expect(differences.map((difference) => withDifference(before, difference))).toEqual([first, second]);
});
