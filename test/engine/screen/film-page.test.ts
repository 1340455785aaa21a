import { describe, expect, it } from "vitest";
import { filmPage, PageError } from "../../../server/engine/screen/film-page.ts";

const DPI = 600;
const mm = (pixels: number) => (pixels * 25.4) / DPI;

describe("a film's page", () => {
  it("has room around the print for the marks", () => {
    const page = filmPage(100, 50, DPI);
    const { x, y, width, height } = page.art;
    expect([mm(width), mm(height)]).toEqual([expect.closeTo(100, 1), expect.closeTo(50, 1)]);
    const [right, bottom] = [page.width - x - width, page.height - y - height];
    // Eight pixels at most are lost to whole bytes.
    for (const side of [x, right, y]) expect(Math.abs(mm(side) - 16)).toBeLessThan(mm(9));
    expect(mm(bottom)).toBeCloseTo(21, 1);
    expect([x % 8, page.wedge]).toEqual([0, undefined]);
  });

  it("is longer by the step wedge, which lies under the print and its line of text, with a rim below", () => {
    const [without, page] = [filmPage(100, 50, DPI), filmPage(100, 50, DPI, { wedge: true })];
    const wedge = page.wedge!;
    expect(mm(page.height - without.height)).toBeCloseTo(9, 1);
    expect(page.width).toBe(without.width);
    expect([page.art, wedge.x]).toEqual([without.art, page.art.x]);
    // 14 patches of 6 × 6 mm; the text's baseline is 18.5 mm under the print.
    expect([mm(wedge.width), mm(wedge.height)]).toEqual([expect.closeTo(84, 1), expect.closeTo(6, 1)]);
    expect(mm(wedge.y - page.art.y - page.art.height)).toBeCloseTo(21, 1);
    expect(mm(page.height - wedge.y - wedge.height)).toBeCloseTo(3, 1);
  });

  it("has the wedge no wider than the print", () => {
    const { wedge, art } = filmPage(30, 50, DPI, { wedge: true });
    expect([wedge!.x, wedge!.width]).toEqual([art.x, art.width]);
  });

  it("of a size of its own has the print in its middle, and says what is too small", () => {
    const size = { width: 200, height: 300 };
    const page = filmPage(100, 50, DPI, { page: size, wedge: true });
    expect([mm(page.width), mm(page.height)]).toEqual([expect.closeTo(200, 1), expect.closeTo(300, 1)]);
    expect(mm(page.art.x)).toBeCloseTo(50, 0);
    // Print, margin above, and below it text and wedge are what is in the middle: 16 + 50 + 30 mm.
    expect(mm(page.art.y)).toBeCloseTo(16 + (300 - 96) / 2, 1);
    const least = { width: 132.1, height: 96.1 };
    expect(filmPage(100, 50, DPI, { page: least, wedge: true }).wedge).toBeDefined();
    expect(() => filmPage(100, 50, DPI, { page: { width: 132.1, height: 95.8 }, wedge: true })).toThrow(
      new PageError("a page of 132 × 96 mm is too small for the print with its marks; it needs 132 × 97 mm"),
    );
    expect(filmPage(100, 50, DPI, { page: { width: 132.1, height: 95.8 } }).wedge).toBeUndefined();
    expect(() => filmPage(100, 50, DPI, { page: { width: 131.8, height: 300 } })).toThrow(PageError);
  });

  it("is never longer than a PDF's", () => {
    expect(() => filmPage(5080 - 32.2, 50, DPI)).not.toThrow();
    expect(() => filmPage(5080 - 31.8, 50, DPI)).toThrow(/5\.1 m long, the longest is 5\.08 m/);
  });
});
