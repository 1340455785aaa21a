import { expect, it } from "vitest";
import { ALL_ENDS, type PrintEnds, slid } from "../../../../client/panel/pixels/slid.ts";
import { random } from "../../../property.ts";

/** The obvious twin: the plate, even within each of its pixels, laid elsewhere and averaged over each pixel. */
function slow(
  tones: Uint8Array,
  width: number,
  height: number,
  [dx, dy]: readonly [number, number],
  ends: PrintEnds,
): number[] {
  const at = (x: number, y: number): number => {
    const off = (x < 0 && ends.left) || (x >= width && ends.right);
    if (off || (y < 0 && ends.top) || (y >= height && ends.bottom)) return 0;
    const held = (v: number, count: number) => Math.min(count - 1, Math.max(0, v));
    return tones[held(y, height) * width + held(x, width)]!;
  };
  /** How much of the pixel from `to` a pixel covers that was at `from` and moved by `d`. */
  const covers = (from: number, to: number, d: number) => Math.max(0, 1 - Math.abs(from + d - to));
  return Array.from(tones, (_, i) => {
    const [x, y] = [i % width, Math.floor(i / width)];
    let sum = 0;
    for (let fy = -4; fy < height + 4; fy++)
      for (let fx = -4; fx < width + 4; fx++) sum += at(fx, fy) * covers(fx, x, dx) * covers(fy, y, dy);
    return sum;
  });
}

it("moves a plate by parts of a pixel as its even pixels would lie, on every side", () => {
  const next = random(5);
  const [width, height] = [7, 5];
  for (let round = 0; round < 60; round++) {
    const tones = Uint8Array.from({ length: width * height }, () => (next() < 0.4 ? 0 : next() * 256));
    const shift = [next() * 6 - 3, next() * 6 - 3] as const;
    const ends = { left: next() < 0.5, top: next() < 0.5, right: next() < 0.5, bottom: next() < 0.5 };
    const exact = slow(tones, width, height, shift, ends);
    for (const [i, tone] of slid(tones, width, height, shift, ends).entries())
      expect(Math.abs(tone - exact[i]!)).toBeLessThanOrEqual(0.5 + 1e-9);
  }
});

it("leaves a plate that does not move as it is, and moves one by whole pixels whole", () => {
  const tones = Uint8Array.of(1, 2, 3, 4, 5, 6, 7, 8, 255);
  expect(slid(tones, 3, 3, [0, 0], ALL_ENDS)).toEqual(tones);
  expect([...slid(tones, 3, 3, [1, 0], ALL_ENDS)]).toEqual([0, 1, 2, 0, 4, 5, 0, 7, 8]);
  expect([...slid(tones, 3, 3, [0, -1], { ...ALL_ENDS, bottom: false })]).toEqual([
    4, 5, 6, 7, 8, 255, 7, 8, 255,
  ]);
  expect([...slid(tones, 3, 3, [0, 1], ALL_ENDS)]).toEqual([0, 0, 0, 1, 2, 3, 4, 5, 6]);
  expect([...slid(tones, 3, 3, [-1, 0], ALL_ENDS)]).toEqual([2, 3, 0, 5, 6, 0, 8, 255, 0]);
  expect([...slid(tones, 3, 3, [9, 0], ALL_ENDS)]).toEqual(Array(9).fill(0));
});
