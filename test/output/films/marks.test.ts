import { describe, expect, it } from "vitest";
import { filmPage } from "../../../server/engine/screen/film-page.ts";
import { labelShapes, pageMarks } from "../../../server/output/films/marks.ts";
import { mirrored, type Shape } from "../../../server/output/films/shapes.ts";

const DPI = 600;
const page = filmPage(120, 80, DPI, { wedge: true });
const mm = (pixels: number) => (pixels * 25.4) / DPI;
const [left, top] = [mm(page.art.x), mm(page.art.y)];
const [right, bottom] = [left + mm(page.art.width), top + mm(page.art.height)];
const [middleX, middleY] = [(left + right) / 2, (top + bottom) / 2];

/** Left, top, right, bottom of a shape. */
function bounds({ outlines }: Shape): [number, number, number, number] {
  const xs = outlines.flatMap((outline) => outline.filter((_, i) => i % 2 === 0));
  const ys = outlines.flatMap((outline) => outline.filter((_, i) => i % 2 === 1));
  return [Math.min(...xs), Math.min(...ys), Math.max(...xs), Math.max(...ys)];
}

describe("marks", () => {
  const marks = pageMarks(page).map(bounds);

  it("lie on the page, outside of the print and of the step wedge, symmetrical about its middle", () => {
    const wedge = mm(page.wedge!.y);
    for (const [x0, y0, x1, y1] of marks) {
      expect(Math.min(x0, y0)).toBeGreaterThan(0);
      expect(x1).toBeLessThan(mm(page.width));
      expect(y1).toBeLessThan(wedge);
      expect(x1 <= left || x0 >= right || y1 <= top || y0 >= bottom).toBe(true);
    }
    const key = (box: readonly number[]) => box.map((v) => Math.abs(v).toFixed(6)).join(" ");
    const all = marks.map(key).sort();
    const turned = (x: boolean, y: boolean) =>
      marks
        .map(([x0, y0, x1, y1]) => [
          x ? 2 * middleX - x1 : x0,
          y ? 2 * middleY - y1 : y0,
          x ? 2 * middleX - x0 : x1,
          y ? 2 * middleY - y0 : y1,
        ])
        .map(key)
        .sort();
    expect(turned(true, false)).toEqual(all);
    expect(turned(false, true)).toEqual(all);
  });

  it("have a ring of register on each side, 10.5 mm off, a centre mark and two crops at each corner", () => {
    const centres = marks.map(([x0, y0, x1, y1]) => [(x0 + x1) / 2, (y0 + y1) / 2, x1 - x0, y1 - y0]);
    const at = (x: number, y: number) =>
      centres
        .filter(([cx, cy]) => Math.hypot(cx! - x, cy! - y) < 1e-6)
        .map(([, , width, height]) => [width, height].map((v) => Number(v!.toFixed(3))))
        .sort();
    for (const [x, y] of [
      [middleX, top - 10.5],
      [middleX, bottom + 10.5],
      [left - 10.5, middleY],
      [right + 10.5, middleY],
    ] as const)
      expect(at(x, y)).toEqual([
        [0.15, 7],
        [4.15, 4.15],
        [7, 0.15],
      ]);
    expect([at(middleX, top - 4), at(left - 4, middleY)]).toEqual([[[0.15, 4]], [[4, 0.15]]]);
    for (const [x, sx] of [
      [left, -1],
      [right, 1],
    ] as const)
      for (const [y, sy] of [
        [top, -1],
        [bottom, 1],
      ] as const) {
        expect(at(x + sx * 4.5, y)).toEqual([[5, 0.15]]);
        expect(at(x, y + sy * 4.5)).toEqual([[0.15, 5]]);
      }
  });
});

describe("a label", () => {
  const of = (label: { title?: string; details?: string; side?: string }, on = page) =>
    labelShapes(on, { title: "", details: "", side: "", ...label })
      .filter(({ outlines }) => outlines.length > 0)
      .map(bounds);

  it("has its title above the print on the left, its side on the right, its details between print and wedge", () => {
    const [[title], [side], [details]] = [of({ title: "HH" }), of({ side: "HH" }), of({ details: "HH" })];
    expect(title![0]).toBeGreaterThanOrEqual(left);
    expect(title![2]).toBeLessThan(middleX - 3.5);
    expect(title![3]).toBeCloseTo(top - 8, 1);
    expect(side![0]).toBeGreaterThan(middleX + 3.5);
    expect(side![2]).toBeLessThan(right);
    expect(side![3]).toBeCloseTo(top - 8, 1);
    expect(details![0]).toBeGreaterThanOrEqual(left);
    // Clear of the register's cross below the print and of the wedge.
    expect(details![1]).toBeGreaterThan(bottom + 14);
    expect(details![3]).toBeLessThan(mm(page.wedge!.y));
    // Large enough to be read from afar: capitals of 3.6 mm, details half as high.
    expect(title![3] - title![1]).toBeGreaterThan(3);
    expect(details![3] - details![1]).toBeLessThan(2.2);
  });

  it("is cut off where it would run into the register or off the print", () => {
    const long = "a plate of a name that goes on and on ".repeat(10);
    const [title] = of({ title: long });
    expect(title![2]).toBeLessThan(middleX - 7);
    expect(of({ details: long })[0]![2]).toBeLessThan(right);
    expect(of({ side: long })[0]![2]).toBeLessThan(right);
    // On a small print it still says something.
    expect(of({ title: long }, filmPage(10, 10, DPI))[0]![2]).toBeGreaterThan(10);
  });
});

it("a shape is seen from behind with left and right exchanged", () => {
  const shape: Shape = { outlines: [[1, 2, 5, 2, 5, 9]] };
  expect(mirrored(shape, 20)).toEqual({ outlines: [[19, 2, 15, 2, 15, 9]] });
});
