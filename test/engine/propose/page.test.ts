import { describe, expect, it } from "vitest";
import { pageOf } from "../../../server/engine/propose/page.ts";
import { random } from "../../property.ts";
import { type Pixel, pictureOf } from "../pictures.ts";

const [WIDTH, HEIGHT] = [40, 30];
const drawn = (at: (x: number, y: number) => Pixel, width = WIDTH, height = HEIGHT) =>
  pictureOf(
    width,
    Array.from({ length: width * height }, (_, i) => at(i % width, Math.floor(i / width))),
  );
const CREAM: [number, number, number] = [240, 232, 210];
const RED: Pixel = [200, 30, 40];
/** Rows from the nearest edge. */
const depth = (x: number, y: number, width = WIDTH, height = HEIGHT) =>
  Math.min(x, y, width - 1 - x, height - 1 - y);

describe("the page of a picture", () => {
  it("is the colour along its border, whatever is inside", () => {
    expect(pageOf(drawn((x, y) => (depth(x, y) > 0 ? RED : CREAM)))).toEqual({
      rgb: CREAM,
      within: 4,
      share: 1,
    });
  });

  it("is the commonest colour there, with its share of the border", () => {
    // A bar over the whole height at the left: 10 of 40 pixels above and below, and all of one side.
    const page = pageOf(drawn((x) => (x < 10 ? RED : CREAM)))!;
    expect(page.rgb).toEqual(CREAM);
    expect(page.share).toBeCloseTo((30 + 30 + 30) / 140, 9);
  });

  it("is none where a tenth of the border is clear, three rows deep", () => {
    const clear = (share: number) =>
      drawn((_, y) => [CREAM[0], CREAM[1], CREAM[2], y < share * HEIGHT ? 0 : 255]);
    expect(pageOf(drawn(() => [0, 0, 0, 0]))).toBeUndefined();
    // All of one side of four: 40 of 140, and as much of two others as is clear.
    expect(pageOf(clear(0.2))).toBeUndefined();
    const corner = drawn((x, y) => [...CREAM.slice(0, 3), x < 6 && y < 6 ? 0 : 255] as unknown as Pixel);
    // Two runs of six are clear: 12 of 140.
    expect(pageOf(corner)!.share).toBeCloseTo(128 / 140, 9);
  });

  it("is looked for inside of an edge that is soft", () => {
    const [width, height] = [80, 60];
    const edge = (rows: number, outside: Pixel) =>
      pageOf(drawn((x, y) => (depth(x, y, width, height) < rows ? outside : CREAM), width, height));
    // Two pixels at each end of each side see none of the inside: 16 of 280.
    const page = { rgb: CREAM, within: 4, share: expect.closeTo(264 / 280, 9) };
    expect(edge(2, [0, 0, 0, 241])).toEqual(page);
    expect(edge(3, [0, 0, 0, 241])).toBeUndefined();
    expect(edge(2, [...RED.slice(0, 3), 242] as unknown as Pixel)!.rgb).toEqual(RED);
  });

  it("is the median of what noise spreads it over, and within what nearly all of that keeps", () => {
    const next = random(51);
    const noisy = (by: number) =>
      pageOf(drawn(() => CREAM.map((v) => Math.round(v + by * (2 * next() - 1))) as unknown as Pixel))!;
    const little = noisy(2);
    expect(little.within).toBe(4);
    const much = noisy(6);
    for (const [c, v] of much.rgb.entries()) expect(Math.abs(v - CREAM[c]!)).toBeLessThanOrEqual(2);
    expect(much.share).toBe(1);
    expect(much.within).toBeGreaterThan(4);
    expect(much.within).toBeLessThan(12);
    // What compression did to a few pixels does not count: 12 at most.
    expect(noisy(24).within).toBe(12);
  });

  it("is not drawn away by a few pixels of other colours", () => {
    const page = pageOf(drawn((x, y) => (x % 7 === 0 && y < 2 ? [230, 222, 200] : CREAM)))!;
    expect(page.rgb).toEqual(CREAM);
  });

  it.each([
    [1, 1],
    [2, 9],
    [9, 2],
  ])("is found in a picture of %d × %d", (width, height) => {
    expect(pageOf(drawn(() => CREAM, width, height))).toEqual({ rgb: CREAM, within: 4, share: 1 });
  });
});
