import { expect, it } from "vitest";
import { commonEdge } from "../../../server/engine/inspect/common-edge.ts";

/** The edge of a row that is three pixels wide, as long as its own spread has it. */
function edgeOf(own: readonly number[], wide: readonly number[], other: readonly number[]) {
  const [a, b, c] = [own, wide, other].map((tones) => Uint8Array.from(tones));
  const { length, where } = commonEdge(a!, b!, c!, own.length, 1);
  return [length, where.sum];
}

it("is what a plate gains where the other one prints", () => {
  expect(edgeOf([255, 0, 0], [255, 255, 0], [0, 255, 255])).toEqual([1, 1]);
  expect(edgeOf([255, 0, 0], [255, 255, 0], [0, 0, 255])).toEqual([0, 0]);
  // What lies under the other already gains nothing there.
  expect(edgeOf([255, 255, 0], [255, 255, 255], [255, 255, 0])).toEqual([0, 0]);
  // Nor does a plate whose spread is narrower, as rounding leaves it.
  expect(edgeOf([200, 0, 0], [199, 0, 0], [255, 255, 255])).toEqual([0, 0]);
});

it("adds up the parts of an edge that runs through a pixel, and no more than solid", () => {
  expect(edgeOf([100, 0, 0], [255, 0, 0], [51, 0, 0])).toEqual([0.2, 0]);
  expect(edgeOf([100, 0, 0], [255, 0, 0], [255, 0, 0])).toEqual([155 / 255, 1]);
  expect(edgeOf([0, 0, 0], [102, 0, 0], [255, 0, 0])).toEqual([0.4, 0]);
});

it("lies where half of a pixel and more is gained", () => {
  expect(edgeOf([0, 0, 0], [128, 127, 1], [255, 255, 255])).toEqual([256 / 255, 1]);
  const tones = new Uint8Array(81);
  tones.fill(255, 73, 80);
  const { where } = commonEdge(new Uint8Array(81), tones, tones, 9, 9);
  expect([where.sum, where.row, where.column]).toEqual([7, 2, undefined]);
});
