import { describe, expect, it } from "vitest";
import { deltaE00 } from "../../../server/engine/colour/ciede2000.ts";
import { placeSheet, ScanError } from "../../../server/engine/target/place-sheet.ts";
import { sampleName } from "../../../server/engine/target/samples.ts";
import { readScan } from "../../../server/engine/target/scan.ts";
import { targetSheet } from "../../../server/engine/target/sheet.ts";
import { printOf, scanned } from "./scanned.ts";
import { SCREENS } from "./sheets.ts";

const sheet = targetSheet({ title: "", inks: ["ember", "rose"], base: undefined, screens: SCREENS });

const named = sheet.patches.flatMap(({ sample, tone }) =>
  sample ? [{ name: sampleName(sample), colour: printOf(sample.ink, tone / 100) }] : [],
);
const known = new Map(
  named
    .filter(({ name }) => / (?:0|20|50|80) over garment$| solid over /.test(name) && !name.includes("fm"))
    .map(({ name, colour }) => [name, colour]),
);

describe("a scan of a sheet", () => {
  it.each([
    [0, 4],
    [7, 3.3],
    [-88, 4],
    [181.5, 5],
  ])("is found by its marks and read, turned by %d°, %d pixels to the mm", (degrees, perMm) => {
    const { readings, residual } = readScan(scanned(sheet, degrees, perMm), sheet, known);
    expect(readings).toHaveLength(named.length);
    const off = readings.map(({ colour }, i) => {
      const [p, q] = [colour!, named[i]!.colour];
      return deltaE00(p.L, p.a, p.b, q.L, q.a, q.b);
    });
    expect(Math.max(...off)).toBeLessThan(0.6);
    expect(residual.patches).toBe(known.size);
    expect(residual.mean).toBeLessThan(0.3);
    expect(residual.most).toBeGreaterThan(0);
  });

  it("lies where it lies, to a third of a mm", () => {
    const [a, b, c, d, e, f] = placeSheet(scanned(sheet, 0, 4), sheet);
    for (const [X, Y] of [
      [0, 0],
      [sheet.width, sheet.height],
    ] as const) {
      expect(Math.abs(a * X + b * Y + c - (4 * X + 12)) / 4).toBeLessThan(0.33);
      expect(Math.abs(d * X + e * Y + f - (4 * Y + 12)) / 4).toBeLessThan(0.33);
    }
  });

  it("without its marks, or with too few known colours, is refused in a line", () => {
    const scan = scanned(sheet, 0, 3);
    const blank = { ...scan, data: scan.data.map(() => 230) };
    expect(() => readScan(blank, sheet, known)).toThrow(ScanError);
    expect(() => readScan(blank, sheet, known)).toThrow("the three square marks of the sheet were not found");
    expect(() => readScan(scan, sheet, new Map([...known].slice(0, 3)))).toThrow(
      "3 patches of the sheet are of known colour; a scan needs 6",
    );
  });
});
