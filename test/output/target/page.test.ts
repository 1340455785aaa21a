import { describe, expect, it } from "vitest";
import { type SheetRequest, sheetSamples, targetSheet } from "../../../server/engine/target/sheet.ts";
import { targetPage } from "../../../server/output/target/page.ts";
import { SCREENS } from "../../engine/target/sheets.ts";

const sheetOf = (request: Partial<SheetRequest> = {}) =>
  targetSheet({ title: "Shop", inks: ["white", "ember"], base: "white", screens: SCREENS, ...request });
const pageOf = (request: Partial<SheetRequest> = {}) =>
  targetPage({
    sheet: sheetOf(request),
    title: "A <shop>",
    files: ["target.pdf", "target.pdf"],
    readingsFile: "target-readings.txt",
    command: "calibrate a.shop.yaml target-readings.txt",
    date: "2026-01-02",
    producer: "a test",
  });
const cells = (page: string, kind: string) =>
  [...page.matchAll(new RegExp(`<${kind}>([^<]*)</${kind}>`, "g"))].map(([, text]) => text);

describe("the page of a target sheet", () => {
  it("says what it is, how large, of which inks and on which films", () => {
    const { width, height } = sheetOf();
    for (const part of [
      "<title>Target sheet — A &#60;shop&#62;</title>",
      "<h1>Target sheet — A &#60;shop&#62;</h1>",
      `<p>2026-01-02 · ${Math.round(width)} × ${Math.round(height)} mm · inks in print order: white, ember · films: target.pdf</p>`,
      "<small>a test</small>",
    ])
      expect(pageOf()).toContain(part);
  });

  it("says which ink is the underbase, where one of them is", () => {
    expect(pageOf()).toContain(
      "Print in the order of the inks, white first, as the underbase, and flash it.",
    );
    for (const base of [undefined, "other"])
      expect(pageOf({ base })).toContain("Print in the order of the inks. Register");
  });

  it("counts what is to be read, and says how it is read back", () => {
    const samples = sheetSamples(sheetOf());
    const colours = samples.filter(({ sample }) => sample.kind === "patch");
    expect(colours.length).toBeLessThan(samples.length);
    const page = pageOf();
    for (const part of [
      `<b>target-readings.txt</b> lists ${samples.length} samples`,
      `${colours.length} are colours`,
      "<code>calibrate a.shop.yaml target-readings.txt</code>",
      "<code>calibrate a.shop.yaml target-readings.txt SCAN.png --ink white --ink ember</code>",
      "0.05, 0.075, 0.1, 0.15, 0.2, 0.25, 0.3, 0.4, 0.5, 0.7, 1 mm",
    ])
      expect(page).toContain(part);
  });

  it("has a table of exposures, each half a stop more than the one before", () => {
    const page = pageOf();
    expect(cells(page, "th")).toEqual(["block", "1", "2", "3", "4", "5", "6", "7", "8"]);
    expect(cells(page, "td").slice(1)).toEqual([
      "1.00",
      "1.41",
      "2.00",
      "2.83",
      "4.00",
      "5.66",
      "8.00",
      "11.31",
    ]);
  });

  it("says of each mesh that it has its own time, where there are several", () => {
    expect(pageOf()).toContain("Each mesh has its own time: white and ember carry a wedge each.");
    expect(pageOf({ base: undefined })).not.toContain("Each mesh");
  });

  it("speaks of moiré where the sheet's screen is of rulings", () => {
    expect(pageOf()).toContain("<h2>Moiré</h2>");
    expect(pageOf({ screens: [SCREENS[1]!, SCREENS[0]!] })).not.toContain("Moiré");
  });
});
