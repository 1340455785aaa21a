import { describe, expect, it } from "vitest";
import { placeSheet, type Scan, ScanError } from "../../../server/engine/target/place-sheet.ts";
import { type Box, targetSheet } from "../../../server/engine/target/sheet.ts";
import { SCREENS } from "./sheets.ts";

type Rgb = readonly [number, number, number];
const sheetOf = (width: number, height: number) => ({
  ...targetSheet({ title: "", inks: ["ember"], base: undefined, screens: SCREENS }),
  width,
  height,
  marks: [
    [2, 2],
    [width - 8, 2],
    [2, height - 8],
  ].map(([x, y]) => ({ x: x!, y: y!, width: 6, height: 6 })),
});
const small = sheetOf(60, 40);

/** A scan of the sheet from `left` and `top` mm on, in which boxes in mm are solid. */
function scanOf(
  { width, height }: { width: number; height: number },
  boxes: readonly Box[],
  { perMm = 5, left = 0, top = 0, garment = [235, 230, 225] as Rgb, ink = [40, 30, 30] as Rgb } = {},
): Scan {
  const [w, h] = [Math.round((width - 2 * left) * perMm), Math.round((height - 2 * top) * perMm)];
  const data = new Uint8Array(4 * w * h);
  for (let i = 0; i < w * h; i++) data.set([...garment, 255], 4 * i);
  for (const box of boxes)
    for (let y = Math.round((box.y - top) * perMm); y < Math.round((box.y + box.height - top) * perMm); y++)
      for (
        let x = Math.round((box.x - left) * perMm);
        x < Math.round((box.x + box.width - left) * perMm);
        x++
      )
        data.set([...ink, 255], 4 * (y * w + x));
  return { width: w, height: h, data };
}

const box = (x: number, y: number, width: number, height: number): Box => ({ x, y, width, height });
/** Whether it lies straight, at a scale, from a corner on. */
const isAt = (scan: Scan, sheet: typeof small, perMm: number, left = 0, top = left, within = 0.01) => {
  const wanted = [perMm, 0, -left * perMm, 0, perMm, -top * perMm];
  for (const [k, v] of placeSheet(scan, sheet).entries())
    expect(Math.abs(v - wanted[k]!)).toBeLessThan(within);
};

describe("a sheet is placed by its three marks", () => {
  it("exactly, where their edges lie on pixels", () => {
    isAt(scanOf(small, small.marks), small, 5);
    isAt(scanOf(small, small.marks, { perMm: 2 }), small, 2);
  });

  it("at the very edges of the scan, apart from what is at the other edge", () => {
    isAt(scanOf(small, small.marks, { left: 2, top: 2 }), small, 5, 2);
  });

  it("on whatever garment, in whatever ink that stands out", () => {
    for (const [garment, ink] of [
      [
        [20, 30, 60],
        [230, 230, 225],
      ],
      [
        [200, 40, 40],
        [220, 220, 60],
      ],
      [
        [130, 60, 200],
        [130, 200, 200],
      ],
      [
        [40, 90, 40],
        [40, 90, 160],
      ],
    ] as const)
      isAt(scanOf(small, small.marks, { garment, ink }), small, 5);
  });

  it("in a large scan, of which every second pixel is looked at", () => {
    const long = sheetOf(420, 20);
    const scan = scanOf(long, long.marks, { perMm: 8 });
    expect(scan.width).toBe(3360);
    // Half a pixel of those that are looked at.
    isAt(scan, long, 8, 0, 0, 1.1);
  });

  it("among other things that are no squares, or of another size", () => {
    const others = [
      box(20, 2, 6, 3),
      box(30, 2, 2, 6),
      box(12, 20, 10, 10),
      box(30, 20, 3, 3),
      // A bar with a foot, a thin line, a dot.
      box(40, 20, 2, 8),
      box(42, 26, 5, 2),
      box(14, 36, 30, 1),
      box(50, 30, 1, 1),
    ];
    isAt(scanOf(small, [...small.marks, ...others]), small, 5);
  });

  it("by those that fit best, of several squares as large", () => {
    isAt(scanOf(small, [...small.marks, box(20, 20, 6, 6), box(30, 8, 6, 6)]), small, 5);
    isAt(scanOf(small, [...small.marks, box(52, 22, 6, 6)]), small, 5);
  });

  it.each<[string, readonly Box[]]>([
    ["none at all", []],
    ["two", small.marks.slice(0, 2)],
    ["one that is no square", [...small.marks.slice(0, 2), box(2, 32, 6, 4)]],
    ["one that is larger", [...small.marks.slice(0, 2), box(1, 31, 8, 8)]],
    ["one in another place", [...small.marks.slice(0, 2), box(2, 28, 6, 6)]],
    ["marks far too small for their distance", small.marks.map(({ x, y }) => box(x + 2, y + 2, 2, 2))],
    ["marks far too large", small.marks.map(({ x, y }) => box(x - 2, y - 2, 10, 10))],
  ])("and refused with %s", (_, boxes) => {
    expect(() => placeSheet(scanOf(small, boxes), small)).toThrow(ScanError);
    expect(() => placeSheet(scanOf(small, boxes), small)).toThrow(
      "the three square marks of the sheet were not found; scan all of it, corners included",
    );
  });

  it("not by a mirrored print", () => {
    const mirrored = small.marks.map(({ x, ...rest }) => ({ ...rest, x: small.width - x - 6 }));
    const scan = scanOf(small, mirrored);
    // Read as it lies, the third mark would be on the other side: it is found turned, on its side.
    expect(() => placeSheet(scan, sheetOf(60, 40))).toThrow(ScanError);
  });
});
