import { describe, expect, it } from "vitest";
import type { Dial } from "../../../server/engine/tune/job.ts";
import { isSound, moved, waysOf } from "../../../server/engine/tune/ways.ts";

const dial = (rest: Partial<Dial> = {}): Dial => ({
  plate: 0,
  value: 0,
  part: "p",
  low: 0,
  high: 100,
  step: 8,
  ...rest,
});

it("ways are each number by itself, then those that go together", () => {
  const dials = [dial(), dial({ plate: 1, step: 4, together: [{ dial: 2, way: -1 }] }), dial({ plate: 1 })];
  expect(waysOf(dials)).toEqual([
    { plate: 0, step: 8, parts: [{ dial: 0, way: 1 }] },
    { plate: 1, step: 4, parts: [{ dial: 1, way: 1 }] },
    { plate: 1, step: 8, parts: [{ dial: 2, way: 1 }] },
    {
      plate: 1,
      step: 4,
      parts: [
        { dial: 1, way: 1 },
        { dial: 2, way: -1 },
      ],
    },
  ]);
});

describe("numbers that are moved", () => {
  const range = [dial({ under: 1 }), dial({ over: 0 }), dial({ low: 10, high: 50 })];

  it("stay within their ends, and are none where nothing moves", () => {
    const values = [20, 60, 30];
    expect(moved(range, values, [[2, 5]])).toEqual([20, 60, 35]);
    expect(moved(range, values, [[2, 30]])).toEqual([20, 60, 50]);
    expect(moved(range, values, [[2, -30]])).toEqual([20, 60, 10]);
    expect(moved(range, [20, 60, 50], [[2, 30]])).toBeUndefined();
    expect(values).toEqual([20, 60, 30]);
  });

  it("are several at once, and one by several steps", () => {
    expect(
      moved(
        range,
        [20, 60, 30],
        [
          [0, 5],
          [1, -5],
          [0, 2],
        ],
      ),
    ).toEqual([27, 55, 30]);
  });

  it("keep their order: neither end of a range passes the other", () => {
    expect(moved(range, [20, 60, 30], [[0, 40]])).toEqual([60, 60, 30]);
    expect(moved(range, [20, 60, 30], [[0, 41]])).toBeUndefined();
    expect(moved(range, [20, 60, 30], [[1, -40]])).toEqual([20, 20, 30]);
    expect(moved(range, [20, 60, 30], [[1, -41]])).toBeUndefined();
    // Both go on together.
    expect(
      moved(
        range,
        [20, 60, 30],
        [
          [0, 30],
          [1, 30],
        ],
      ),
    ).toEqual([50, 90, 30]);
  });

  it("turn in a whole turn where they are hues", () => {
    const hues = [
      dial({ high: 359, turn: { other: 1, lower: true } }),
      dial({ high: 359, turn: { other: 0, lower: false } }),
    ];
    expect(moved(hues, [350, 40], [[0, 20]])).toEqual([10, 40]);
    expect(moved(hues, [10, 40], [[0, -20]])).toEqual([350, 40]);
    expect(moved(hues, [300, 350], [[1, 20]])).toEqual([300, 10]);
    // A narrow range, from either end, over the turn too.
    expect(moved(hues, [100, 110], [[0, 2]])).toEqual([102, 110]);
    expect(moved(hues, [100, 110], [[1, -2]])).toEqual([100, 108]);
    expect(moved(hues, [355, 5], [[0, 2]])).toEqual([357, 5]);
    // From 30° wide to 350°: that is all but the range.
    expect(moved(hues, [10, 40], [[0, 40]])).toBeUndefined();
    expect(moved(hues, [10, 40], [[1, -40]])).toBeUndefined();
    // At most 340° wide, and at most 90° wider or narrower at a time.
    expect(moved(hues, [20, 280], [[1, 80]])).toEqual([20, 0]);
    expect(moved(hues, [20, 280], [[1, 81]])).toBeUndefined();
    expect(moved(hues, [0, 200], [[1, 89]])).toEqual([0, 289]);
    expect(moved(hues, [0, 200], [[1, 90]])).toBeUndefined();
    expect(moved(hues, [0, 200], [[0, 89]])).toEqual([89, 200]);
    expect(moved(hues, [0, 200], [[0, 90]])).toBeUndefined();
    expect(moved(hues, [300, 200], [[0, 89]])).toEqual([29, 200]);
    expect(moved(hues, [300, 200], [[0, 90]])).toBeUndefined();
  });

  it("are sound as far as the dial itself is tied", () => {
    const from = [20, 60, 30];
    expect(isSound(range, 0, [70, 60, 30], from)).toBe(false);
    expect(isSound(range, 2, [70, 60, 30], from)).toBe(true);
    expect(isSound(range, 1, [60, 60, 30], from)).toBe(true);
  });
});
