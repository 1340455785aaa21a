import { expect, it } from "vitest";
import { keepHairlines } from "../../../server/engine/areas/hairlines.ts";
import { labelsOf, rowOf } from "./labels.ts";

/** Covers of a line that runs down three rows, after, in the middle one. */
function kept(covers: readonly number[]): number[] {
  const labels = labelsOf(
    covers.map((cover) => [0, 1, cover]),
    3,
  );
  keepHairlines(labels);
  // At the picture's borders nothing tells how far a line goes on.
  for (const row of [0, 2]) expect(rowOf(labels, 1, row)).toEqual(covers);
  return rowOf(labels, 1, 1);
}

it("makes the middle of a line that is nowhere the larger share its own", () => {
  // 40 + 110 + 40 of 255 are 0.75 of a pixel across.
  expect(kept([0, 40, 110, 40, 0])).toEqual([0, 40, 140, 40, 0]);
});

it("leaves a line under 0.62 of a pixel across, or under 0.3 in its middle", () => {
  // 158.1 of 255 are 0.62.
  expect(kept([0, 25, 110, 24, 0])).toEqual([0, 25, 140, 24, 0]);
  expect(kept([0, 24, 110, 24, 0])).toEqual([0, 24, 110, 24, 0]);
  expect(kept([0, 70, 76, 70, 0])).toEqual([0, 70, 76, 70, 0]);
  expect(kept([0, 70, 77, 70, 0])).toEqual([0, 70, 140, 70, 0]);
});

it("takes the first of two that are alike, and leaves what is beside a pixel of the colour", () => {
  expect(kept([0, 100, 100, 0])).toEqual([0, 140, 100, 0]);
  expect(kept([0, 110, 200, 110, 0])).toEqual([0, 110, 200, 110, 0]);
});
