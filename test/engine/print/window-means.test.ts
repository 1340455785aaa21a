import { expect, it } from "vitest";
import { linearFromSrgb, srgbFromLinear } from "../../../server/engine/colour/srgb.ts";
import { windowMeans } from "../../../server/engine/print/window-means.ts";
import { random } from "../../property.ts";

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

it("windows stand side by side and below one another, those at the right and bottom smaller", () => {
  const next = random(8);
  const [width, height, side] = [7, 5, 3];
  for (const channels of [3, 4] as const) {
    const data = Uint8Array.from({ length: width * height * channels }, () => Math.floor(next() * 256));
    // One window is clear, and keeps no colour.
    if (channels === 4) for (const i of [6, 13, 20]) data[4 * i + 3] = 0;
    const wanted: number[] = [];
    for (const [top, bottom] of [
      [0, 3],
      [3, 5],
    ])
      for (const [left, right] of [
        [0, 3],
        [3, 6],
        [6, 7],
      ]) {
        const pixels = Array.from({ length: width * height }, (_, i) => i)
          .filter((i) => i % 7 >= left && i % 7 < right && i >= 7 * top && i < 7 * bottom)
          .map((i) => [...data.subarray(i * channels, (i + 1) * channels)]);
        const alphas = pixels.map(([, , , a = 255]) => a / 255);
        const cover = alphas.reduce((sum, a) => sum + a);
        const light = (c: number) =>
          pixels.reduce((sum, pixel, i) => sum + alphas[i] * linearFromSrgb(pixel[c] / 255), 0) / cover;
        wanted.push(...[0, 1, 2].map((c) => (cover === 0 ? 0 : Math.round(255 * srgbFromLinear(light(c))))));
        if (channels === 4) wanted.push(Math.round((255 * cover) / pixels.length));
      }
    const means = windowMeans(data, channels, { width, height }, side);
    expect([means.width, means.height, ...means.data]).toEqual([3, 2, ...wanted]);
  }
});
