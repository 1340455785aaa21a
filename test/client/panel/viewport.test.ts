import { describe, expect, it } from "vitest";
import { PRINT_SIZE, Viewport } from "../../../client/panel/viewport.ts";

const WINDOW = { width: 800, height: 600 };
const PRINT = { width: 100, height: 120 };
const fitted = () => new Viewport({ scale: null, centre: null }, WINDOW, PRINT);

describe("a frame", () => {
  it("fits all of the print with garment around it, in the middle", () => {
    const { scale, left, top } = fitted();
    expect(120 * scale).toBeLessThan(600);
    expect(120 * scale).toBeGreaterThan(500);
    expect(left + 50 * scale).toBeCloseTo(400, 9);
    expect(top + 60 * scale).toBeCloseTo(300, 9);
  });

  it("leaves 4.5 % of the print's longer side on each side, and shows a huge print at a hundredth of a pixel", () => {
    expect(fitted().scale).toBeCloseTo(600 / (120 * 1.09), 9);
    const wide = new Viewport({ scale: null, centre: [1, 1] }, WINDOW, { width: 200, height: 10 });
    expect(wide.scale).toBeCloseTo(800 / (200 * 1.09), 9);
    // Where the scale follows the window, so does the centre.
    expect(wide.centre).toEqual([100, 5]);
    const small = new Viewport({ scale: null, centre: null }, WINDOW, { width: 1000, height: 1000 });
    expect(small.scale).toBeCloseTo(600 / 1090, 9);
    const huge = new Viewport({ scale: null, centre: null }, WINDOW, { width: 1e6, height: 1e6 });
    expect(huge.scale).toBe(0.01);
    // A CSS inch has 96 CSS pixels (CSS Values and Units).
    expect(PRINT_SIZE * 25.4).toBeCloseTo(96, 9);
  });

  it("goes from window to print and back", () => {
    const frame = new Viewport({ scale: 7, centre: [30, 40] }, WINDOW, PRINT);
    const [x, y] = frame.toPrint(123, 456);
    expect(frame.left + x * 7).toBeCloseTo(123, 9);
    expect(frame.top + y * 7).toBeCloseTo(456, 9);
  });

  it("zooms about a place of the window, which keeps its place of the print", () => {
    const frame = new Viewport({ scale: 5, centre: [50, 60] }, WINDOW, PRINT);
    const before = frame.toPrint(300, 200);
    const after = new Viewport(frame.zoomed(1.7, 300, 200), WINDOW, PRINT);
    expect(after.scale).toBeCloseTo(8.5, 9);
    const now = after.toPrint(300, 200);
    expect(now[0]).toBeCloseTo(before[0], 9);
    expect(now[1]).toBeCloseTo(before[1], 9);
  });

  it("zooms no further than 32 times print size, and no smaller than a quarter of the window", () => {
    expect(fitted().zoomed(1e9).scale).toBeCloseTo(PRINT_SIZE * 32, 9);
    expect(fitted().zoomed(1e-9).scale).toBeCloseTo(600 / 120 / 4, 9);
  });

  it("keeps some of the print in the window, however far it is moved", () => {
    const { centre } = new Viewport({ scale: 5, centre: [50, 60] }, WINDOW, PRINT).panned(1e6, -1e6);
    expect(centre).toEqual([0, 120]);
  });

  it("asks for a sharper crop only where the screen shows more, and for what can be seen", () => {
    const frame = new Viewport({ scale: 10, centre: [90, 60] }, WINDOW, PRINT);
    // 10 pixels a millimetre are 254 an inch.
    expect(frame.sharper(300, 1)).toBeUndefined();
    expect(frame.sharper(100, 1)).toEqual({ x: 50, y: 30, width: 50, height: 60, ppi: 254 });
    expect(frame.sharper(300, 2)?.ppi).toBe(508);
    // A quarter more is asked for, and a crop of no width or height is none.
    expect(frame.sharper(254 / 1.25, 1)).toBeDefined();
    expect(frame.sharper(254 / 1.2, 1)).toBeUndefined();
    for (const centre of [
      [140, 60],
      [-40, 60],
      [50, 150],
      [50, -30],
    ] as const)
      expect(new Viewport({ scale: 10, centre }, WINDOW, PRINT).sharper(100, 1)).toBeUndefined();
  });
});
