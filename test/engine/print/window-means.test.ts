import { expect, it } from "vitest";
import { windowMeans } from "../../../server/engine/print/window-means.ts";

it("means are of light: black and white squares are 188, not 128", () => {
  const rgb = Uint8Array.from([0, 0, 0, 255, 255, 255, 255, 255, 255, 0, 0, 0, 9, 9, 9, 9, 9, 9]);
  expect(windowMeans(rgb, 3, { width: 2, height: 3 }, 2)).toEqual({
    width: 1,
    height: 2,
    data: Uint8Array.from([188, 188, 188, 9, 9, 9]),
  });
});

it("colours count as far as they cover", () => {
  const rgba = Uint8Array.from([200, 10, 10, 255, 0, 0, 0, 0]);
  expect([...windowMeans(rgba, 4, { width: 2, height: 1 }, 2).data]).toEqual([200, 10, 10, 128]);
});
