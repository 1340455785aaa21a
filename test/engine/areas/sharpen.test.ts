import { expect, it } from "vitest";
import { sharpen } from "../../../server/engine/areas/sharpen.ts";
import { labelsDrawn, labelsOf, rowOf } from "./labels.ts";

/** How much of each pixel of a row colour 1 covers beside colour 0, after; both as bytes. */
function sharp(covers: readonly number[]): number[] {
  const labels = labelsOf(covers.map((cover) => [0, 1, cover]));
  sharpen(labels);
  return rowOf(labels, 1);
}

it("makes an edge of three pixels one pixel wide, where it was half and half", () => {
  // The middle one: 127.5 + 0.5 · 2 · 255 / (204 − 51) = 129.2.
  expect(sharp([0, 0, 51, 128, 204, 255, 255])).toEqual([0, 0, 0, 129, 255, 255, 255]);
  // Of two pixels: the first one's rise is 153 over two pixels, the second one's 204.
  expect(sharp([0, 0, 51, 153, 255, 255])).toEqual([0, 0, 0, 191, 255, 255]);
});

it("leaves an edge of one pixel, whatever its share", () => {
  for (const cover of [3, 26, 128, 250])
    expect(sharp([0, 0, cover, 255, 255])).toEqual([0, 0, cover, 255, 255]);
  // What is 25 short of whole counts as whole beside an edge, and becomes it.
  expect(sharp([0, 25, 90, 230, 255])).toEqual([0, 0, 90, 255, 255]);
  expect(sharp([0, 26, 90, 229, 255])[2]).not.toBe(90);
});

it("leaves a stroke that is whole nowhere, and its neighbours", () => {
  expect(sharp([0, 0, 60, 190, 60, 0, 0])).toEqual([0, 0, 60, 190, 60, 0, 0]);
});

it("does not take a third colour for either", () => {
  // Colour 2 is whole two pixels away; colour 1 is whole nowhere.
  const labels = labelsOf([
    [0, 0, 0],
    [0, 1, 60],
    [0, 1, 120],
    [2, 2, 0],
    [2, 2, 0],
  ]);
  sharpen(labels);
  expect(rowOf(labels, 1)).toEqual([0, 60, 120, 0, 0]);
});

it("does not look past a row's end", () => {
  // A soft edge ends two rows on the right; the second one begins with a pixel of a stroke that is whole nowhere.
  const labels = labelsDrawn("0000000011", "0000000001");
  const put = (at: number, first: number, share: number) => {
    labels.first[at] = first;
    labels.second[at] = 1 - first;
    labels.share[at] = share;
  };
  put(8, 1, 128);
  put(19, 1, 128);
  put(10, 0, 155);
  sharpen(labels);
  expect([labels.first[10], labels.second[10], labels.share[10]]).toEqual([0, 1, 155]);
});
