import { describe, expect, it } from "vitest";
import { outline, printCorner, reach } from "../../../server/output/order/garment.ts";

const L = { width: 560, height: 740 };
const print = { width: 300, height: 350 };
const at = (
  place: Parameters<typeof printCorner>[0]["place"],
  downMm: number,
  acrossMm: number,
  size = print,
) => printCorner({ place, downMm, acrossMm }, size, L);

describe("a garment's outline", () => {
  it.each(["front", "back"] as const)(
    "is as wide and as high as its size, and the same on both sides: %s",
    (side) => {
      const points = outline(L, side);
      const body = points.filter(([, y]) => y === L.height).map(([x]) => x);
      expect(Math.max(...body) - Math.min(...body)).toBe(560);
      const { half, above, below } = reach(L);
      for (const [x, y] of points) {
        expect(Math.abs(x)).toBeLessThanOrEqual(half + 1e-9);
        expect(y).toBeGreaterThanOrEqual(-above - 1e-9);
        expect(y).toBeLessThanOrEqual(below);
      }
      const sorted = (list: readonly (readonly [number, number])[]) =>
        list.map(([x, y]) => `${(x + 0).toFixed(6)} ${y.toFixed(6)}`.replace("-0.000000", "0.000000")).sort();
      expect(sorted(points.map(([x, y]) => [-x, y]))).toEqual(sorted(points));
    },
  );

  it("has its collar's seam at 0", () => {
    for (const side of ["front", "back"] as const)
      expect(outline(L, side)[0]).toEqual([0, expect.closeTo(0, 9)]);
  });
});

describe("a print's place", () => {
  it("is told from the collar's seam and the middle", () => {
    expect(at("front", 76.2, 0)).toEqual([-150, 76.2]);
    expect(at("back", 100, 10)).toEqual([-140, 100]);
    // The wearer's left is the viewer's right.
    expect(at("left-chest", 100, 101.6, { width: 90, height: 90 })).toEqual([expect.closeTo(56.6, 9), 100]);
  });

  it("lies on its sleeve, up from the hem, on the wearer's side", () => {
    const small = { width: 60, height: 60 };
    const [left, top] = at("left-sleeve", 25, 0, small);
    expect(left + 30).toBeGreaterThan(L.width / 2);
    expect(at("right-sleeve", 25, 0, small)).toEqual([expect.closeTo(-left - 60, 9), expect.closeTo(top, 9)]);
    // Across is to the viewer's right on either arm.
    for (const place of ["left-sleeve", "right-sleeve"] as const)
      expect(at(place, 25, 10, small)[0] - at(place, 25, 0, small)[0]).toBeCloseTo(10, 9);
    const [further, higher] = at("left-sleeve", 50, 0, small);
    expect(Math.hypot(left - further, top - higher)).toBeCloseTo(25, 9);
    expect(top - higher).toBeGreaterThan(0);
  });

  it("keeps a sleeve's print of 3 in inside of the sleeve", () => {
    const small = { width: 76.2, height: 53.3 };
    const [left, top] = at("left-sleeve", 25.4, 0, small);
    const sleeve = outline(L, "front");
    for (const corner of [
      [left, top],
      [left + 76.2, top],
      [left, top + 53.3],
      [left + 76.2, top + 53.3],
    ])
      expect(inside(sleeve, corner[0]!, corner[1]!)).toBe(true);
  });
});

/** Even-odd rule. */
function inside(points: readonly (readonly [number, number])[], x: number, y: number): boolean {
  let within = false;
  for (const [i, [ax, ay]] of points.entries()) {
    const [bx, by] = points[(i + 1) % points.length]!;
    if (ay > y !== by > y && x < ((bx - ax) * (y - ay)) / (by - ay) + ax) within = !within;
  }
  return within;
}
