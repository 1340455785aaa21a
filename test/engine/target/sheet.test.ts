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
      for (const other of boxes.slice(i + 1)) expect(overlap(box, other)).toBe(false);
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
