import { describe, expect, it } from "vitest";
import type { Mark } from "../../../server/output/sheet/drawing.ts";
import { sheetHtml } from "../../../server/output/sheet/svg.ts";

/** What stands in the one drawing of a page of these marks. */
const drawn = (...marks: Mark[]): string => {
  const page = sheetHtml("A sheet", [{ width: 210, height: 297, marks }]);
  return /<svg [^>]*>(.*)<\/svg>/s.exec(page)![1]!;
};

describe("a sheet as a page for a browser", () => {
  it("has a drawing for each page, in mm", () => {
    const page = sheetHtml("A <sheet>", [
      { width: 210, height: 297, marks: [] },
      { width: 100.00049, height: 50, marks: [] },
    ]);
    expect(page.match(/<svg [^>]*>/g)).toEqual([
      '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 210 297" style="width:210mm;height:297mm">',
      '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 100 50" style="width:100mm;height:50mm">',
    ]);
    expect(page).toContain("<title>A &#60;sheet&#62;</title>");
  });

  it("has its text as text, grey or not", () => {
    const at = { kind: "text", x: 1, y: 2.5, size: 4 } as const;
    expect(drawn({ ...at, text: "a <b>" })).toBe('<text x="1" y="2.5" font-size="4">a &#60;b&#62;</text>');
    expect(drawn({ ...at, text: "c", grey: true })).toBe(
      '<text x="1" y="2.5" font-size="4" class="grey">c</text>',
    );
  });

  it("has lines and shapes, with an edge or not, and no fill that is no colour", () => {
    expect(drawn({ kind: "line", from: [1, 2], to: [3, 4.12345] })).toBe(
      '<line x1="1" y1="2" x2="3" y2="4.123" />',
    );
    const points = [
      [0, 0],
      [5, 0],
      [5, 2.5],
    ] as const;
    expect(drawn({ kind: "shape", points, fill: "#a1b2c3", edge: false })).toBe(
      '<polygon points="0,0 5,0 5,2.5" fill="#a1b2c3" />',
    );
    for (const fill of ["red", "#A1B2C3", "x#a1b2c3", "#a1b2c3x", "url(//a)"])
      expect(drawn({ kind: "shape", points, fill, edge: true })).toBe(
        '<polygon points="0,0 5,0 5,2.5" fill="none" class="edge" />',
      );
  });

  it("has its pictures in it", () => {
    // A part of a longer buffer, as files are read.
    const png = Uint8Array.of(9, 1, 2, 3, 9).subarray(1, 4);
    expect(drawn({ kind: "picture", png, x: 1, y: 2, width: 30, height: 40 })).toBe(
      '<image href="data:image/png;base64,AQID" x="1" y="2" width="30" height="40" preserveAspectRatio="none" />',
    );
  });
});
