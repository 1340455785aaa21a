import { describe, expect, it } from "vitest";
import { deltaE00 } from "../../../server/engine/colour/ciede2000.ts";
import { type Lab, labFromBytes } from "../../../server/engine/colour/cielab.ts";
import { placeSheet, ScanError } from "../../../server/engine/target/place-sheet.ts";
import { sampleName, sampleOf } from "../../../server/engine/target/samples.ts";
import { readScan } from "../../../server/engine/target/scan.ts";
import { type Sheet, type SheetPatch, targetSheet } from "../../../server/engine/target/sheet.ts";
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
    [0, 2.5],
    [7, 2.5],
    [-88, 2.5],
    [181.5, 3],
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
    const [a, b, c, d, e, f] = placeSheet(scanned(sheet, 0, 2.5), sheet);
    for (const [X, Y] of [
      [0, 0],
      [sheet.width, sheet.height],
    ] as const) {
      expect(Math.abs(a * X + b * Y + c - (2.5 * X + 12)) / 2.5).toBeLessThan(0.33);
      expect(Math.abs(d * X + e * Y + f - (2.5 * Y + 12)) / 2.5).toBeLessThan(0.33);
    }
  });

  it("without its marks, or with too few known colours, is refused in a line", () => {
    const scan = scanned(sheet, 0, 2.5);
    const blank = { ...scan, data: scan.data.map(() => 230) };
    expect(() => readScan(blank, sheet, known)).toThrow(ScanError);
    expect(() => readScan(blank, sheet, known)).toThrow("the three square marks of the sheet were not found");
    expect(() => readScan(scan, sheet, new Map([...known].slice(0, 3)))).toThrow(
      "3 patches of the sheet are of known colour; a scan needs 6",
    );
  });
});

describe("a small sheet, its edges on edges of pixels", () => {
  const PER_MM = 5;
  const COLOURS: [number, number, number][] = [
    [240, 238, 230],
    [230, 150, 140],
    [215, 90, 70],
    [240, 236, 228],
    [160, 180, 220],
    [90, 120, 200],
    [250, 200, 90],
    [120, 190, 120],
  ];
  const NAMES = [
    ...["ember", "rose"].flatMap((ink) => [0, 50, 100].map((tone) => `${ink} 45lpi ${tone} over garment`)),
    "ember solid over white card",
    "rose solid over white card",
  ];
  const patches = NAMES.map((name, i): SheetPatch => {
    const box = { x: 10 + 12 * (i % 4), y: 10 + 12 * Math.floor(i / 4), width: 10, height: 10 };
    const { screening } = SCREENS[0]!;
    const sample = sampleOf(name) as NonNullable<SheetPatch["sample"]>;
    return { plate: 0, box, tone: sample.tone, screening, sample };
  });
  const small: Sheet = {
    ...sheet,
    width: 68,
    height: 44,
    patches,
    fields: [],
    bars: [],
    marks: [
      [1, 1],
      [61, 1],
      [1, 37],
    ].map(([x, y]) => ({ x: x!, y: y!, width: 6, height: 6 })),
  };
  const [width, height] = [small.width * PER_MM, small.height * PER_MM];

  /** Each patch shows its colour in its inner two fifths alone; around that it is black. */
  function drawn(): Uint8Array {
    const data = new Uint8Array(4 * width * height).fill(235);
    const fill = (
      x: number,
      y: number,
      w: number,
      h: number,
      [r, g, b]: readonly [number, number, number],
    ) => {
      for (let py = y * PER_MM; py < (y + h) * PER_MM; py++)
        for (let px = x * PER_MM; px < (x + w) * PER_MM; px++)
          data.set([r, g, b, 255], 4 * (py * width + px));
    };
    for (const { x, y, width: w, height: h } of small.marks) fill(x, y, w, h, [20, 20, 20]);
    for (const [i, { box }] of patches.entries()) {
      fill(box.x, box.y, 10, 10, [180, 180, 180]);
      fill(box.x + 3, box.y + 3, 4, 4, COLOURS[i]!);
    }
    return data;
  }

  const labs = new Map(NAMES.map((name, i) => [name, labFromBytes(...COLOURS[i]!)]));
  const scan = { width, height, data: drawn() };
  const off = (p: Lab, q: Lab) => deltaE00(p.L, p.a, p.b, q.L, q.a, q.b);

  it("is read from the middles of its patches, and exactly so where the scanner is sRGB", () => {
    const found = placeSheet(scan, small);
    for (const [k, v] of [PER_MM, 0, 0, 0, PER_MM, 0].entries()) expect(found[k]).toBeCloseTo(v, 9);
    // The first six are known.
    const { readings, residual, unread } = readScan(scan, small, new Map([...labs].slice(0, 6)));
    expect(unread).toEqual([]);
    expect(readings.map(({ sample }) => sampleName(sample))).toEqual(NAMES);
    for (const [i, { colour, line }] of readings.entries()) {
      expect(line).toBe(1);
      expect(off(colour!, labs.get(NAMES[i]!)!)).toBeLessThan(0.02);
    }
    expect(residual.patches).toBe(6);
    expect(residual.most).toBeLessThan(0.02);
  });

  it("is told how far what is known lies from what the scanner makes of it", () => {
    const wrong = new Map(labs);
    const red = labs.get(NAMES[2]!)!;
    wrong.set(NAMES[2]!, { ...red, L: red.L + 6 });
    const { readings, residual } = readScan(scan, small, wrong);
    const offs = readings.map(({ colour }, i) => off(colour!, wrong.get(NAMES[i]!)!));
    expect(residual.most).toBeCloseTo(Math.max(...offs), 9);
    expect(residual.mean).toBeCloseTo(offs.reduce((sum, v) => sum + v, 0) / offs.length, 9);
    expect(residual.most).toBeGreaterThan(1);
  });

  it("needs six known colours", () => {
    expect(() => readScan(scan, small, new Map([...labs].slice(0, 5)))).toThrow(
      "5 patches of the sheet are of known colour; a scan needs 6 that an instrument has read, solids and light tints",
    );
  });

  it("is refused where a part of it is outside", () => {
    const wider = (box: Partial<SheetPatch["box"]>): Sheet => ({
      ...small,
      patches: [...patches, { ...patches[0]!, box: { ...patches[0]!.box, ...box } }],
    });
    for (const box of [{ x: 63 }, { x: -7 }, { y: 39 }, { y: -7 }])
      expect(() => readScan(scan, wider(box), labs)).toThrow("part of the sheet is outside the scan");
    // Its inner part alone is read.
    expect(() => readScan(scan, wider({ x: 61 }), labs)).not.toThrow();
  });
});

it("lines are read with the colours of their own ink", () => {
  const lines = sheet.fields.filter(({ sample }) => sample.kind === "line" && sample.way === "upright");
  const boxes = lines.map(({ sample }, i) => ({
    sample,
    box: { x: 12, y: 12 + 14 * i, width: 22, height: 12 },
  }));
  const small: Sheet = {
    ...sheet,
    width: 60,
    height: 55,
    fields: boxes,
    marks: [
      [1, 1],
      [53, 1],
      [1, 48],
    ].map(([x, y]) => ({ x: x!, y: y!, width: 6, height: 6 })),
    bars: boxes.flatMap(({ box }, plate) => {
      const own = sheet.bars.filter(
        (bar) =>
          bar.plate === plate &&
          bar.y === lines[plate]!.box.y + 1 &&
          bar.height === 8 &&
          !bar.lean &&
          !bar.open,
      );
      const [first] = own.filter(({ x }) => x >= lines[plate]!.box.x && x < lines[plate]!.box.x + 22);
      return own
        .filter(({ x }) => x >= lines[plate]!.box.x && x < lines[plate]!.box.x + 22)
        .map((bar) => ({ ...bar, x: box.x + 1 + bar.x - first!.x, y: box.y + 1 }));
    }),
    patches: ["ember", "rose"].flatMap((ink, plate) =>
      [0, 50, 100].map((tone, i) => ({
        plate,
        tone,
        screening: SCREENS[0]!.screening,
        box: { x: 12 + 8 * i, y: 40 + 7 * plate, width: 7, height: 6 },
        sample: { kind: "patch", ink, screen: "45lpi", tone, over: "garment" } as const,
      })),
    ),
  };
  const known = new Map(
    small.patches.map(({ sample, tone }) => [sampleName(sample!), printOf(sample!.ink, tone / 100)]),
  );
  const { readings, unread } = readScan(scanned(small, 0, 12, 0), small, known);
  expect(unread).toEqual([]);
  expect(readings.filter(({ mm }) => mm !== undefined).map(({ sample, mm }) => [sample.ink, mm])).toEqual([
    ["ember", 0.05],
    ["rose", 0.05],
  ]);
});
