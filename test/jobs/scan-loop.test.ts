import { beforeAll, describe, expect, it } from "vitest";
import { deltaE00 } from "../../server/engine/colour/ciede2000.ts";
import { printedTone } from "../../server/engine/print/gain.ts";
import { toneValueOf } from "../../server/engine/print/tone-value.ts";
import { filmPage } from "../../server/engine/screen/film-page.ts";
import { type Sheet, targetSheet } from "../../server/engine/target/sheet.ts";
import { type Calibration, calibrate } from "../../server/jobs/calibrate.ts";
import { parseDocument } from "../../server/language/document.ts";
import type * as Formats from "../../server/language/generated/formats.ts";
import { drawn } from "../../server/output/films/film.ts";
import { TargetPlate } from "../../server/output/target/plate-bits.ts";
import { SCREENS } from "../engine/target/sheets.ts";
import { printed, readSheet } from "./invented-press.ts";
import { scanSheet } from "./invented-scan.ts";
import { INKS, PRESS, SHOP } from "./truth.ts";

const DPI = 600;
const sheet: Sheet = targetSheet({ title: "", inks: INKS, base: undefined, screens: SCREENS.slice(0, 1) });
/** What an instrument has read of it: solids, some tints and the bare garment. */
const KNOWN = / (?:0|20|50|80|100) over garment$| solid over garment$/;

let found: Calibration;

beforeAll(() => {
  const page = filmPage(sheet.width, sheet.height, DPI);
  const films = INKS.map((_, plate) => drawn(new TargetPlate(sheet, plate, page), () => {}));
  // The coarsest scan that lines are read from, and a noisy one.
  const scan = scanSheet(PRESS, sheet, films, DPI, { ppi: 300, degrees: 1.3, noise: 4 });
  const known = readSheet(PRESS, sheet, films, DPI, 1).filter(({ name }) => KNOWN.test(name));
  const rows = known.map(({ name, text }) => `"${name}"\t${text}`).join("\n");
  const fields = "SAMPLE_NAME LAB_L LAB_A LAB_B VALUE_MM";
  const { calibration, problems } = calibrate({
    text: SHOP,
    shop: parseDocument("a.shop.yaml", SHOP).value as Formats.Shop,
    files: [
      {
        name: "read.txt",
        text: `CGATS.17\nBEGIN_DATA_FORMAT\n${fields}\nEND_DATA_FORMAT\nBEGIN_DATA\n${rows}\nEND_DATA\n`,
      },
    ],
    scans: [{ name: "scan.png", scan }],
    sheet,
    date: "2026-11-27",
    mesh: undefined,
  });
  expect(problems).toEqual([]);
  found = calibration!;
});

describe("what a scan gives back of an invented press, a few patches read by instrument", () => {
  it.each(INKS)("the gain of %s is the press's within 1 % at every tone", (ink) => {
    const at = (area: number) => printed(PRESS, PRESS.garment, new Map([[ink, area]]));
    const gain = printedTone(found.figures.inks.get(ink)!.ramps.get("45lpi")!.gain.value);
    for (const film of [0.01, 0.02, 0.05, 0.1, 0.2, 0.3, 0.5, 0.7, 0.9, 0.95]) {
      const truth = toneValueOf(at(PRESS.grown(film, ink)), at(0), at(1), "murray-davies");
      expect(Math.abs(gain(film) - truth), `${film}`).toBeLessThan(0.01);
    }
  });

  it.each(INKS)(
    "%s over white and over black, which no instrument read, is the press's within ΔE00 0.5",
    (ink) => {
      for (const [over, ground] of [
        ["white card", PRESS.card.white],
        ["black card", PRESS.card.black],
      ] as const) {
        const p = found.figures.inks.get(ink)!.over.get(over)!.value;
        const q = printed(PRESS, ground, new Map([[ink, 1]]));
        expect(deltaE00(p.L, p.a, p.b, q.L, q.a, q.b), over).toBeLessThan(0.5);
      }
    },
  );

  it("misregistration within 0.02 mm, and each ink's narrowest line and gap", () => {
    const { misregistration, inks } = found.figures;
    expect(Math.abs(misregistration!.value - Math.hypot(0.13, 0.21))).toBeLessThan(0.02);
    expect(misregistration!.readings).toBe(2);
    for (const ink of INKS) {
      const { line, gap } = inks.get(ink)!;
      // Upright, across and slanted alike.
      expect(line).toEqual({ value: PRESS.line, spread: 0, readings: 3 });
      expect(gap).toEqual({ value: PRESS.gap, spread: 0, readings: 3 });
    }
    // A ramp is one instrument's as a whole.
    expect([...found.figures.inks.values()].map(({ ramps }) => ramps.get("45lpi")!.gain.readings)).toEqual([
      27, 27,
    ]);
    expect(found.notes[0]).toMatch(/^scan\.png: 60 patches and 14 of lines, gaps and register read; /);
  });
});
