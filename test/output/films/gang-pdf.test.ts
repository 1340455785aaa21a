import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { deflateSync } from "node:zlib";
import { expect, it } from "vitest";
import { readArtwork } from "../../../server/artwork/artwork.ts";
import { filmPage } from "../../../server/engine/screen/film-page.ts";
import { gangedPdf } from "../../../server/output/films/gang-pdf.ts";
import { pdfOf } from "../../../server/output/films/pdf.ts";
import { scratch } from "../folders.ts";

const { fresh } = scratch();
const DPI = 72;
/** 60 × 40 mm of print, black in its upper left quarter; 92 × 77 mm with marks. */
const page = filmPage(60, 40, DPI);
const mm = (pixels: number) => (pixels * 25.4) / DPI;

async function film(): Promise<Uint8Array> {
  const { width, height } = page.art;
  const data = new Uint8Array(width * height);
  for (let y = 0; y < height / 2; y++) data.fill(255, y * width, y * width + Math.floor(width / 2));
  const label = { title: "", details: "", side: "" };
  const image = { width, height, bits: 8 as const, data: deflateSync(data) };
  const one = { name: "Film", ink: { L: 0, a: 0, b: 0 }, label, image, wedge: undefined };
  return pdfOf(page, [one], { title: "", producer: "", mirror: false, together: false });
}

it("lays films where they are to lie, upright and turned a quarter to the left", async () => {
  const pdf = await film();
  const of = { pdf, page: 0, widthMm: mm(page.width), heightMm: mm(page.height) };
  const lying = [
    { index: 0, xMm: 10, yMm: 20, turned: false },
    { index: 1, xMm: 120, yMm: 30, turned: true },
  ];
  const ganged = () =>
    gangedPdf([of, of], [{ widthMm: 220, lengthMm: 140, lying }], { title: "t", producer: "p" });
  const bytes = await ganged();
  expect(Buffer.compare(bytes, await ganged())).toBe(0);

  const file = join(fresh(), "films.pdf");
  writeFileSync(file, bytes);
  const { picture } = await readArtwork(file, { widthMm: 220, ppi: 100 });
  const isInk = (xMm: number, yMm: number) => {
    const [x, y] = [xMm, yMm].map((v) => Math.round((v / 25.4) * 100)) as [number, number];
    const at = 4 * (y * picture.width + x);
    return picture.data[at + 3]! > 128 && picture.data[at]! < 128;
  };
  const [left, top] = [mm(page.art.x), mm(page.art.y)];
  // Middles of the four quarters of the print: upper left, upper right, lower left, lower right.
  const quarters = [
    [15, 10],
    [45, 10],
    [15, 30],
    [45, 30],
  ] as const;
  expect(quarters.map(([x, y]) => isInk(10 + left + x, 20 + top + y))).toEqual([true, false, false, false]);
  // A quarter to the left: what was right is up, what was up is left.
  const turned = quarters.map(([x, y]) => isInk(120 + top + y, 30 + of.widthMm - left - x));
  expect(turned).toEqual([true, false, false, false]);
});
