import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { PDFDocument } from "@cantoo/pdf-lib";
import sharp from "sharp";
import { beforeAll, describe, expect, it } from "vitest";
import { readArtwork } from "../../../server/artwork/artwork.ts";
import { lettering } from "../../../server/output/films/lettering.ts";
import type { Mark } from "../../../server/output/sheet/drawing.ts";
import { sheetPdf } from "../../../server/output/sheet/pdf.ts";
import { scratch } from "../folders.ts";

const { fresh } = scratch();
const [WIDTH, HEIGHT] = [60, 40];
/** Pixels a millimetre of the drawn page. */
const PER_MM = 10;

const square = (x: number, y: number, side: number) =>
  [
    [x, y],
    [x + side, y],
    [x + side, y + side],
    [x, y + side],
  ] as const;

describe("a sheet as PDF", () => {
  let png: Uint8Array;
  let bytes: Uint8Array;
  let seen: (x: number, y: number) => number[];
  const marks = (): Mark[] => [
    { kind: "shape", points: square(5, 5, 8), fill: "#20c040", edge: false },
    { kind: "shape", points: square(20, 5, 8), fill: "#c02040", edge: true },
    { kind: "line", from: [5, 18], to: [25, 18] },
    { kind: "line", from: [30, 20], to: [30, 35] },
    { kind: "picture", png, x: 40, y: 5, width: 10, height: 20 },
    { kind: "text", text: "H", x: 5, y: 38, size: 20 },
    { kind: "text", text: "H", x: 35, y: 38, size: 10, grey: true },
    { kind: "text", text: "", x: 0, y: 10, size: 10 },
  ];

  beforeAll(async () => {
    // Blue above yellow.
    png = await sharp(Uint8Array.of(0, 0, 255, 255, 255, 0), { raw: { width: 1, height: 2, channels: 3 } })
      .png()
      .toBuffer();
    const plain = { width: WIDTH, height: HEIGHT, marks: marks() };
    bytes = await sheetPdf("A sheet", "a test", [plain, { width: 100, height: 50, marks: [marks()[4]!] }]);
    const file = join(fresh(), "sheet.pdf");
    writeFileSync(file, bytes);
    const { picture } = await readArtwork(file, { widthMm: WIDTH, ppi: PER_MM * 25.4, page: 1 });
    seen = (x, y) => {
      const at = 4 * (Math.floor(y * PER_MM) * picture.width + Math.floor(x * PER_MM));
      return picture.data[at + 3] === 0 ? [255, 255, 255] : [...picture.data.subarray(at, at + 3)];
    };
  });

  const WHITE = [255, 255, 255];
  /** Sign, line and edge: dark, and grey. */
  const INK = [27, 29, 33];
  const GREY = [93, 99, 110];
  const near = (colour: readonly number[]) => colour.map((v) => expect.closeTo(v, -0.6));

  it("has pages of the size that is asked for, its title, and a picture of two pages once", async () => {
    const doc = await PDFDocument.load(bytes, { updateMetadata: false });
    expect(doc.getPages().map((page) => page.getSize())).toEqual([
      { width: expect.closeTo((WIDTH * 72) / 25.4, 2), height: expect.closeTo((HEIGHT * 72) / 25.4, 2) },
      { width: expect.closeTo((100 * 72) / 25.4, 2), height: expect.closeTo((50 * 72) / 25.4, 2) },
    ]);
    expect([doc.getTitle(), doc.getProducer(), doc.getCreationDate()]).toEqual([
      "A sheet",
      "a test",
      undefined,
    ]);
    expect(
      Buffer.from(bytes)
        .toString("latin1")
        .match(/\/Subtype \/Image/g),
    ).toHaveLength(1);
  });

  it("has shapes of their colour where they are to be, and no edge but where one is asked for", () => {
    expect(seen(9, 9)).toEqual([0x20, 0xc0, 0x40]);
    for (const [x, y] of [
      [4.9, 9],
      [13.1, 9],
      [9, 4.9],
      [9, 13.1],
    ] as const)
      expect(seen(x, y)).toEqual(WHITE);
    expect(seen(24, 9)).toEqual([0xc0, 0x20, 0x40]);
    // Half of the line of 0.25 mm lies outside.
    expect(seen(19.95, 9)).toEqual(near(GREY));
    expect(seen(19.75, 9)).toEqual(WHITE);
  });

  it("has lines of a quarter of a millimetre", () => {
    expect([seen(15, 18), seen(30, 27)]).toEqual([near(GREY), near(GREY)]);
    for (const [x, y] of [
      [15, 17.75],
      [15, 18.25],
      [4.8, 18],
      [25.2, 18],
      [29.75, 27],
      [30.25, 27],
      [30, 19.8],
      [30, 35.2],
    ] as const)
      expect(seen(x, y), `${x}, ${y}`).toEqual(WHITE);
  });

  it("has pictures upright, as large as they are told", () => {
    expect([seen(45, 7), seen(45, 23)]).toEqual([near([0, 0, 255]), near([255, 255, 0])]);
    for (const [x, y] of [
      [39.9, 15],
      [50.1, 15],
      [45, 4.9],
      [45, 25.1],
    ] as const)
      expect(seen(x, y), `${x}, ${y}`).toEqual(WHITE);
  });

  it("has letters as they stand on films, dark or grey", () => {
    for (const [x, size, colour] of [
      [5, 20, INK],
      [35, 10, GREY],
    ] as const) {
      const outline = lettering("H", x, 38, size).outlines[0]!;
      const xs = outline.filter((_, i) => i % 2 === 0);
      const [left, right] = [Math.min(...xs), Math.max(...xs)];
      // Its left stem, its bar, and nothing between its stems above.
      expect(seen(left + 0.05 * size, 38 - 0.2 * size)).toEqual(near(colour));
      expect(seen((left + right) / 2, 38 - 0.1 * size)).toEqual(WHITE);
      expect(seen(right - 0.05 * size, 38 - 0.6 * size)).toEqual(near(colour));
    }
  });

  it("is the same bytes every time", async () => {
    const again = await sheetPdf("A sheet", "a test", [
      { width: WIDTH, height: HEIGHT, marks: marks() },
      { width: 100, height: 50, marks: [marks()[4]!] },
    ]);
    expect(Buffer.compare(again, bytes)).toBe(0);
  });
});
