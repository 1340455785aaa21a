import { expect, it } from "vitest";
import { sheetSamples, targetSheet } from "../../../server/engine/target/sheet.ts";
import { parseCgats } from "../../../server/language/readings/cgats.ts";
import { emptyReadings } from "../../../server/output/target/readings-file.ts";
import { SCREENS } from "../../engine/target/sheets.ts";

const sheet = targetSheet({ title: "Shop", inks: ["white", "ember"], base: "white", screens: SCREENS });
const text = emptyReadings(sheet, 'The "best" shop', "a test");

it("an empty file of readings is one of measured data, a sample a row, with nothing read", () => {
  const { problems, header, fields, rows } = parseCgats(text);
  expect(problems).toEqual([]);
  expect(fields).toEqual(["SAMPLE_ID", "SAMPLE_NAME", "LAB_L", "LAB_A", "LAB_B", "VALUE_MM"]);
  expect(rows.map(({ values }) => values.map((value) => value.text))).toEqual(
    sheetSamples(sheet).map(({ name }, i) => [String(i + 1), name, "-", "-", "-", "-"]),
  );
  expect([...header].flat().join(" ")).toMatch(/a test.*The 'best' shop/);
});

it("says under what light, how many fields and sets there are, and what is to be done", () => {
  const lines = text.split("\n");
  const count = sheetSamples(sheet).length;
  for (const line of [
    "CGATS.17",
    'ORIGINATOR "a test"',
    "DESCRIPTOR \"The 'best' shop\"",
    'WEIGHTING_FUNCTION "ILLUMINANT,D50"',
    'WEIGHTING_FUNCTION "OBSERVER,2 degree"',
    "NUMBER_OF_FIELDS 6",
    `NUMBER_OF_SETS ${count}`,
  ])
    expect(lines).toContain(line);
  const told = lines.filter((line) => line.startsWith("#")).join("\n");
  for (const part of ["- means not read", "CIELAB under D50", "narrowest that is whole", "repeat its row"])
    expect(told).toContain(part);
  expect([lines[0], lines.at(-2), lines.at(-1)]).toEqual(["CGATS.17", "END_DATA", ""]);
});
