import { describe, expect, it } from "vitest";
import {
  type Box,
  EXPOSURE_BLOCKS,
  LINE_WIDTHS,
  MOIRE_ANGLES,
  MOST_INKS,
  sheetSamples,
  TONES,
  targetSheet,
  VERNIER_STEP,
  VERNIER_STEPS,
} from "../../../server/engine/target/sheet.ts";
import { SCREENS } from "./sheets.ts";

const INKS = ["white", "ember", "rose", "black"];
const sheet = targetSheet({ title: "Shop", inks: INKS, base: "white", screens: SCREENS });
const overlap = (p: Box, q: Box) =>
  Math.min(p.x + p.width, q.x + q.width) - Math.max(p.x, q.x) > 1e-9 &&
  Math.min(p.y + p.height, q.y + q.height) - Math.max(p.y, q.y) > 1e-9;

describe("a target sheet", () => {
  it("has a patch of 10 mm for each ink, screen and tone, in fine steps at both ends", () => {
    for (const ink of INKS)
      for (const { name } of SCREENS) {
        const ramp = sheet.patches.filter(({ sample }) => sample?.ink === ink && sample.screen === name);
        expect(ramp.map(({ tone }) => tone)).toEqual([...TONES]);
        expect(ramp.every(({ box }) => box.width >= 10 && box.height >= 10)).toBe(true);
      }
    expect([...TONES].slice(0, 7)).toEqual([0, 1, 2, 3, 4, 5, 6]);
    expect(TONES.slice(-6)).toEqual([95, 96, 97, 98, 99, 100]);
  });

  it("reads each colour ink over garment, underbase and both cards", () => {
    const overs = (ink: string) =>
      sheet.patches.flatMap(({ sample: s }) => (s?.ink === ink && s.screen === undefined ? [s.over] : []));
    expect(overs("ember")).toEqual(["garment", "base", "white card", "black card"]);
    expect(overs("white")).toEqual(["garment", "white card", "black card"]);
  });

  it("keeps everything that is read apart and on the sheet, clear of the marks", () => {
    const boxes = [...sheetSamples(sheet).map(({ box }) => box), ...sheet.marks];
    for (const [i, box] of boxes.entries()) {
      expect(Math.min(box.x, box.y)).toBeGreaterThanOrEqual(0);
      expect(box.x + box.width).toBeLessThanOrEqual(sheet.width);
      expect(box.y + box.height).toBeLessThanOrEqual(sheet.height);
      expect(boxes.slice(i + 1).filter((other) => overlap(box, other))).toEqual([]);
    }
  });

  it.each([
    ["the underbase's and the others'", undefined, ["white", "ember"]],
    ["one for all", new Map(INKS.map((ink) => [ink, "colour"])), ["white"]],
    [
      "three",
      new Map(Object.entries({ white: "a", ember: "b", rose: "b", black: "c" })),
      ["white", "ember", "black"],
    ],
  ])("has an exposure wedge and a moiré field for each mesh: %s", (_, meshes, tested) => {
    const made = targetSheet({
      title: "",
      inks: INKS,
      base: "white",
      ...(meshes && { meshes }),
      screens: SCREENS,
    });
    expect(made.tested).toEqual(tested);
    const unread = made.patches.filter(({ sample, tone }) => !sample && tone < 100);
    for (const [plate, ink] of INKS.entries()) {
      const own = unread.filter((patch) => patch.plate === plate);
      const isTested = tested.includes(ink);
      expect(own.filter(({ box }) => box.width === 6)).toHaveLength(isTested ? 5 * EXPOSURE_BLOCKS : 0);
      const angles = own.flatMap(({ box, screening: s }) =>
        box.width === 20 && s.method === "am" ? [s.angle] : [],
      );
      expect(angles).toEqual(isTested ? [...MOIRE_ANGLES] : []);
    }
    const boxes = [...unread, ...made.patches.filter(({ sample }) => sample)].map(({ box }) => box);
    for (const [i, box] of boxes.entries()) {
      expect(Math.max(box.x + box.width - made.width, box.y + box.height - made.height)).toBeLessThanOrEqual(
        0,
      );
      expect(boxes.slice(i + 1).filter((other) => overlap(box, other))).toEqual([]);
    }
  });

  it("has no moiré field where dots have no angle", () => {
    const made = targetSheet({ title: "", inks: ["a"], base: undefined, screens: SCREENS.slice(1) });
    expect(made.labels.filter(({ text }) => text.includes("moiré"))).toEqual([]);
  });

  it("has lines and gaps of every width, each way, inside of their field", () => {
    for (const { sample, box } of sheet.fields) {
      if (sample.kind === "register") continue;
      const bars = sheet.bars.filter((bar) => overlap(bar, box));
      const thick = bars.map(({ width, height, lean = 0 }) =>
        sample.way === "across" ? height : (width * height) / Math.hypot(height, lean),
      );
      expect(thick.map((v) => Number(v.toFixed(6)))).toEqual([...LINE_WIDTHS]);
      expect(bars.every(({ open }) => Boolean(open) === (sample.kind === "gap"))).toBe(true);
      for (const { x, y, width, height, lean = 0 } of bars) {
        expect(x - lean).toBeGreaterThanOrEqual(box.x);
        expect([x + width - box.x - box.width, y + height - box.y - box.height].every((v) => v <= 0)).toBe(
          true,
        );
      }
    }
  });

  it.each([-0.35, 0, 0.15, 0.5])("says by the lines that meet that a plate lies %d mm off", (off) => {
    for (const axis of ["x", "y"] as const) {
      const at = axis === "x" ? "x" : "y";
      const field = sheet.fields.find(
        ({ sample: s }) => s.kind === "register" && s.ink === "rose" && s.axis === axis,
      )!;
      const of = (plate: number) =>
        sheet.bars.filter((bar) => bar.plate === plate && overlap(bar, field.box)).map((bar) => bar[at]);
      const [main, fine] = [of(0), of(INKS.indexOf("rose")).map((v) => v + off)];
      expect([main.length, fine.length]).toEqual([21, 21]);
      const gaps = main.map((v, k) => Math.abs(v - fine[k]!));
      const meets = gaps.indexOf(Math.min(...gaps)) - VERNIER_STEPS;
      expect(meets * VERNIER_STEP).toBeCloseTo(off, 9);
    }
  });

  it("takes one to four inks", () => {
    const of = (inks: string[]) => targetSheet({ title: "", inks, base: undefined, screens: SCREENS });
    expect(of(["a"]).fields.some(({ sample }) => sample.kind === "register")).toBe(false);
    expect(() => of([])).toThrow(RangeError);
    expect(() => of(Array.from({ length: MOST_INKS + 1 }, (_, i) => `i${i}`))).toThrow("1 to 4 inks, not 5");
  });
});

/** In millimetres, worked out by hand: a sheet that was printed once is read by where its things stand. */
describe("everything stands where it stood on sheets printed before", () => {
  const one = targetSheet({ title: "Shop", inks: ["ember"], base: undefined, screens: SCREENS.slice(0, 1) });
  const near = (v: number) => expect.closeTo(v, 9);
  const box = (x: number, y: number, width: number, height: number) => ({
    x: near(x),
    y: near(y),
    width: near(width),
    height: near(height),
  });
  const labelled = ({ labels }: typeof one, which: RegExp) =>
    labels.filter(({ text }) => which.test(text)).map(({ text, x, y, size }) => [text, x, y, size]);

  it("the sheet itself, its title and the marks", () => {
    expect([one.width, one.height]).toEqual([298, 144.5]);
    expect(one.marks).toEqual([box(2, 2, 6, 6), box(290, 2, 6, 6), box(2, 136.5, 6, 6)]);
    expect(labelled(one, /^Shop/)).toEqual([["Shop", 14, 9, 4]]);
  });

  it("steps of tones, and widths of lines", () => {
    const [low, middle] = [
      [0, 1, 2, 3, 4, 5, 6, 8, 10, 15],
      [20, 30, 40, 50, 60, 70, 80],
    ];
    expect(TONES).toEqual([...low, ...middle, 85, 90, 92, 94, 95, 96, 97, 98, 99, 100]);
    expect(LINE_WIDTHS).toEqual([0.05, 0.075, 0.1, 0.15, 0.2, 0.25, 0.3, 0.4, 0.5, 0.7, 1]);
  });

  it("ramps: patches side by side, each with its tone under it", () => {
    const ramp = one.patches.filter(({ sample }) => sample?.screen);
    expect(ramp.map((patch) => patch.box)).toEqual(TONES.map((_, i) => box(14 + 10 * i, 17, 10, 10)));
    expect(labelled(one, /^\d+$/)).toEqual(TONES.map((tone, i) => [String(tone), 14.5 + 10 * i, 29, 2]));
    expect(labelled(one, /^ember 45lpi/)).toEqual([["ember 45lpi", 14, 16, 2.4]]);
    // 16.5 for each.
    const two = targetSheet({ title: "", inks: ["ember", "rose"], base: undefined, screens: SCREENS });
    const firsts = two.patches
      .filter(({ sample, tone }) => sample?.screen && tone === 0)
      .map(({ box }) => box.y);
    expect(firsts).toEqual([17, 33.5, 50, 66.5]);
  });

  it("solids, the base under those that are measured over it", () => {
    const solids = ({ patches }: typeof one) =>
      patches.filter(({ sample }) => sample && !sample.screen).map((patch) => patch.box);
    expect(solids(one)).toEqual([14, 31.5, 49].map((x) => box(x, 32.5, 15, 15)));
    expect(labelled(one, /solid$|card$/)).toEqual([
      ["ember solid", 14, 50.5, 2],
      ["white card", 31.5, 50.5, 2],
      ["black card", 49, 50.5, 2],
    ]);
    const based = targetSheet({
      title: "",
      inks: ["white", "ember"],
      base: "white",
      screens: SCREENS.slice(0, 1),
    });
    expect(solids(based)).toEqual([0, 1, 2, 3, 4, 5, 6].map((i) => box(14 + 17.5 * i, 49, 15, 15)));
    expect(based.bars[0]).toEqual({ plate: 0, ...box(14 + 17.5 * 4 - 1, 48, 17, 17) });
    expect(labelled(based, /^base$/)).toEqual([["base", 84, 67, 2]]);
  });

  it("lines and gaps: three fields of each, the second and the fourth ink's beside those before", () => {
    const lines = ({ fields }: typeof one) =>
      fields.filter(({ sample }) => sample.kind !== "register").map((field) => field.box);
    expect(lines(one)).toEqual([0, 1, 2, 3, 4, 5].map((k) => box(14 + 23 * k, 53.5, 22, 22)));
    expect(labelled(one, /s$/)).toEqual([
      ...[0, 1, 2].map((k) => ["ember lines", 14 + 23 * k, 77.5, 2]),
      ...[3, 4, 5].map((k) => ["ember gaps", 14 + 23 * k, 77.5, 2]),
    ]);
    const solid = one.patches.filter(({ sample, tone }) => !sample && tone === 100).map((patch) => patch.box);
    expect(solid).toEqual([box(83, 53.5, 21, 10), box(106, 53.5, 10, 21), box(129, 53.5, 21, 10)]);
    // Each 1.3 from the one before, along the slanted ones' row 0.9.
    const run = (before: number, gap: number, slant = 1) =>
      LINE_WIDTHS.slice(0, before).reduce<number>((sum, thick) => sum + slant * thick + gap, 1);
    const slant = Math.hypot(1, 5 / 8);
    for (const [first, x] of [
      [0, 14],
      [33, 83],
    ] as const) {
      const open = first > 0 ? { open: true } : {};
      const bars = one.bars.slice(first, first + 33);
      for (const [i, thick] of LINE_WIDTHS.entries()) {
        expect(bars[i]).toEqual({ plate: 0, ...open, ...box(x + run(i, 1.3), 54.5, thick, 8) });
        expect(bars[i + 11]).toEqual({ plate: 0, ...open, ...box(x + 24, 53.5 + run(i, 1.3), 8, thick) });
        const leans = box(x + 46 + run(i, 0.9, slant) + 5, 54.5, slant * thick, 8);
        expect(bars[i + 22]).toEqual({ plate: 0, lean: 5, ...open, ...leans });
      }
    }
    const tops = lines(sheet).filter((_, i) => i % 6 === 0);
    expect(tops.map(({ x, y }) => [x, y - tops[0]!.y])).toEqual([
      [14, 0],
      [155, 0],
      [14, 28],
      [155, 28],
    ]);
  });

  it("verniers, and what is written beside them", () => {
    const two = targetSheet({
      title: "",
      inks: ["ember", "rose"],
      base: undefined,
      screens: SCREENS.slice(0, 1),
    });
    const registers = two.fields.filter(({ sample }) => sample.kind === "register");
    expect(registers.map((field) => field.box)).toEqual([box(14, 102, 24, 24), box(40, 102, 24, 24)]);
    const bars = two.bars.filter(({ width, height }) => width === 0.3 || height === 0.3).slice(-84 - 8);
    const upright = bars.filter(({ y, height }) => height >= 3 && y > 102 && y < 115);
    const across = bars.filter(({ width }) => width >= 3);
    for (let k = -10; k <= 10; k++) {
      const long = k % 5 === 0 ? 4.5 : 3;
      const at = 2 * (k + 10);
      expect(upright[at]).toEqual({ plate: 0, ...box(14 + 11.35 + k, 110 - long, 0.3, long) });
      expect(upright[at + 1]).toEqual({ plate: 1, ...box(14 + 11.35 + 0.95 * k, 110, 0.3, long) });
      expect(across[at]).toEqual({ plate: 0, ...box(48 - long, 102 + 11.35 + k, long, 0.3) });
      expect(across[at + 1]).toEqual({ plate: 1, ...box(48, 102 + 11.35 + 0.95 * k, long, 0.3) });
    }
    expect(labelled(two, /^-?\d\.\d\d$/)).toEqual([
      ...[-10, -5, 0, 5, 10].map((k) => [(k / 20).toFixed(2), near(14 + 10.5 + 0.95 * k), 117, 2]),
      ...[-10, -5, 0, 5, 10].map((k) => [(k / 20).toFixed(2), 53, near(102 + 12.2 + 0.95 * k), 2]),
    ]);
    expect(labelled(two, /^register|right$|down$/)).toEqual([
      ["register: read the figure where two lines meet, steps of 0.05 mm", 14, 100, 2],
      ["rose to the right", 14, 120, 2],
      ["rose down", 40, 128, 2],
    ]);
    // 30 further down for what follows.
    expect(labelled(two, /wedge/)[0]!.slice(1)).toEqual([14, 134, 2]);
  });

  it("exposure blocks: five tints over six lines each", () => {
    const tints = one.patches.filter(({ box }) => box.width === 6);
    const bars = one.bars.slice(66);
    expect([tints.length, bars.length]).toEqual([40, 48]);
    for (let block = 0; block < 8; block++) {
      const x = 14 + 33 * block;
      const own = tints.slice(5 * block, 5 * block + 5);
      expect(own.map(({ tone }) => tone)).toEqual([2, 5, 50, 95, 98]);
      expect(own.map((patch) => patch.box)).toEqual([0, 1, 2, 3, 4].map((i) => box(x + 6 * i, 85.5, 6, 6)));
      // Widths of 0.05, 0.1, 0.15, 0.2, 0.3 and 0.5, 1.4 apart.
      expect(bars.slice(6 * block, 6 * block + 6)).toEqual(
        [
          [0.5, 0.05],
          [1.95, 0.1],
          [3.45, 0.15],
          [5, 0.2],
          [6.6, 0.3],
          [8.3, 0.5],
        ].map(([at, thick]) => ({ plate: 0, ...box(x + at!, 92.5, thick!, 6) })),
      );
    }
    expect(labelled(one, /^block|wedge/)).toEqual([
      ["ember exposure wedge: after each exposure cover one more block", 14, 83.5, 2],
      ...[0, 1, 2, 3, 4, 5, 6, 7].map((b) => [`block ${b + 1}`, 28 + 33 * b, 96.5, 2]),
    ]);
  });

  it("moiré fields, two plates beside one another", () => {
    const fields = ({ patches }: typeof one) => patches.filter(({ box }) => box.width === 20);
    expect(fields(one).map((patch) => patch.box)).toEqual(
      MOIRE_ANGLES.map((_, i) => box(14 + 22 * i, 105.5, 20, 20)),
    );
    expect(fields(one).every(({ tone }) => tone === 50)).toBe(true);
    expect(labelled(one, /moiré|°/)).toEqual([
      ["ember moiré: 50 % at each angle on this mesh", 14, 104.5, 2],
      ...MOIRE_ANGLES.map((angle, i) => [`${angle}°`, 14 + 22 * i, 128.5, 2]),
    ]);
    const meshes = new Map(INKS.map((ink) => [ink, ink]));
    const four = targetSheet({ title: "", inks: INKS, base: "white", meshes, screens: SCREENS });
    const firsts = fields(four).filter((_, i) => i % MOIRE_ANGLES.length === 0);
    const top = firsts[0]!.box.y;
    expect(firsts.map(({ plate, box }) => [plate, box.x, box.y - top])).toEqual([
      [0, 14, 0],
      [1, 149, 0],
      [2, 14, 28],
      [3, 149, 28],
    ]);
    // A field is 23 high, then 5 and the margin of 14.
    expect(four.height - top).toBeCloseTo(28 - 3 + 28 + 14, 9);
  });
});
