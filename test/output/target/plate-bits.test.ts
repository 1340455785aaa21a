import { expect, it } from "vitest";
import { bytesPerRow } from "../../../server/engine/screen/bits.ts";
import { filmPage } from "../../../server/engine/screen/film-page.ts";
import { targetSheet } from "../../../server/engine/target/sheet.ts";
import { TargetPlate } from "../../../server/output/target/plate-bits.ts";
import { SCREENS } from "../../engine/target/sheets.ts";

const DPI = 600;
const sheet = targetSheet({ title: "Shop", inks: ["white", "ember"], base: "white", screens: SCREENS });
const page = filmPage(sheet.width, sheet.height, DPI);
const { width, height } = page.art;
const stride = bytesPerRow(width);

/** So many rows at once, down to `end`. */
function drawn(plate: number, rows: number, end = height): Uint8Array {
  const art = new TargetPlate(sheet, plate, page);
  const bits = new Uint8Array(stride * end);
  for (let y = 0; y < end; y += rows) {
    const count = Math.min(rows, end - y);
    art.draw({ x: 0, y, width, height: count }, bits.subarray(y * stride, (y + count) * stride));
  }
  return bits;
}
const films = [0, 1].map((plate) => drawn(plate, 512));
const px = (mm: number) => Math.round((mm * DPI) / 25.4);
const bit = (film: Uint8Array, x: number, y: number) => (film[y * stride + (x >> 3)]! >> (7 - (x & 7))) & 1;

it("each patch has its tone on film, counted in bits, and the other plate leaves it free", () => {
  for (const { plate, box, tone, sample } of sheet.patches) {
    if (!sample || sample.over === "base") continue;
    const counted = films.map((film) => {
      let [ink, all] = [0, 0];
      for (let y = px(box.y); y < px(box.y + box.height); y++)
        for (let x = px(box.x); x < px(box.x + box.width); x++, all++) ink += bit(film, x, y);
      return (100 * ink) / all;
    });
    // Whole dots at the patch's rim come and go: a ruling of 45 has 18 across.
    expect(Math.abs(counted[plate]! - tone), `${tone} %`).toBeLessThan(1);
    expect(counted[1 - plate]).toBe(0);
  }
});

it("a patch is whole to its edges, however its width falls on bytes", () => {
  // Ten pixels a millimetre: 80 and 84 pixels.
  for (const width of [8, 8.4]) {
    const patch = {
      plate: 0,
      box: { x: 0, y: 0, width, height: 8 },
      tone: 90,
      screening: { method: "fm", grainMm: 0.3 } as const,
    };
    const small = { ...sheet, width: 10, height: 8, patches: [patch], marks: [], bars: [], labels: [] };
    const art = new TargetPlate(small, 0, filmPage(10, 8, 254));
    const bits = new Uint8Array(bytesPerRow(100) * 80);
    art.draw({ x: 0, y: 0, width: 100, height: 80 }, bits);
    const column = (x: number) => {
      let ink = 0;
      for (let y = 0; y < 80; y++) ink += (bits[y * bytesPerRow(100) + (x >> 3)]! >> (7 - (x & 7))) & 1;
      return ink / 80;
    };
    const columns = Array.from({ length: width * 10 }, (_, x) => column(x));
    expect(columns.reduce((sum, ink) => sum + ink, 0) / columns.length).toBeCloseTo(0.9, 1);
    for (const ink of [columns[0]!, columns.at(-1)!]) expect(ink).toBeGreaterThan(0.7);
    expect(column(width * 10)).toBe(0);
  }
});

it("lines are as wide as they say, to a pixel of the film", () => {
  for (const { plate, x, y, width: wide, height: high, open, lean } of sheet.bars) {
    if (lean || wide > high) continue;
    const row = px(y + high / 2);
    let run = 0;
    for (let at = px(x) - 2; at <= px(x + wide) + 2; at++)
      run += bit(films[plate]!, at, row) === (open ? 0 : 1) ? 1 : 0;
    expect(Math.abs(run - (wide * DPI) / 25.4)).toBeLessThanOrEqual(1);
  }
});

it("the marks by which a scan is found are solid on the first film, and on no other", () => {
  expect(sheet.marks).toHaveLength(3);
  for (const { x, y, width: wide, height: high } of sheet.marks)
    for (const [across, down] of [
      [0.1, 0.1],
      [wide - 0.1, 0.1],
      [0.1, high - 0.1],
      [wide - 0.1, high - 0.1],
    ] as const)
      expect(films.map((film) => bit(film, px(x + across), px(y + down)))).toEqual([1, 0]);
});

it("a patch's dots begin at its own corner, wherever it stands", () => {
  const ruled = (plate: number) =>
    sheet.patches.find((one) => one.plate === plate && one.tone === 30 && one.screening.method === "am")!;
  const corner = ({ plate, box }: (typeof sheet.patches)[number]) =>
    Array.from({ length: 100 * 100 }, (_, i) =>
      bit(films[plate]!, px(box.x) + (i % 100), px(box.y) + Math.floor(i / 100)),
    );
  expect(ruled(1).box.y).toBeGreaterThan(ruled(0).box.y);
  expect(corner(ruled(1))).toEqual(corner(ruled(0)));
});

it("is the same in whatever strips it is drawn", () => {
  // Ramps of both screens.
  const end = px(80);
  expect(Buffer.compare(drawn(1, 97, end), films[1]!.subarray(0, end * stride))).toBe(0);
});
