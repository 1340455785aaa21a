import { describe, expect, it } from "vitest";
import { labFromSpectrum, labFromXyz } from "../../../server/engine/print/observer.ts";
import { spectrumOf } from "../../../server/engine/print/spectrum.ts";
import { parseCgats } from "../../../server/language/readings/cgats.ts";
import { sampleColour, wedgeSteps } from "../../../server/language/readings/samples.ts";

const table = (fields: string, rows: readonly string[], header = "") =>
  parseCgats(
    `CGATS.17\n${header}BEGIN_DATA_FORMAT\n${fields}\nEND_DATA_FORMAT\nBEGIN_DATA\n${rows.join("\n")}\nEND_DATA\n`,
  );

const messageOf = (read: object) =>
  "problem" in read ? (read.problem as { message: string }).message : undefined;

describe("the colour of a sample", () => {
  it("is its CIELAB, found by name or by number", () => {
    const readings = table("SAMPLE_ID SAMPLE_NAME LAB_L LAB_A LAB_B", ['A1 "ember on white" 55,8 57.1 54.6']);
    const colour = { value: { L: 55.8, a: 57.1, b: 54.6 } };
    expect(sampleColour(readings, "ember on white")).toEqual(colour);
    expect(sampleColour(readings, "A1")).toEqual(colour);
  });

  it("follows from XYZ under D50, 0 to 100", () => {
    const readings = table("SAMPLE_ID XYZ_X XYZ_Y XYZ_Z", ["1 30 20 5"]);
    expect(sampleColour(readings, "1")).toEqual({ value: labFromXyz({ X: 0.3, Y: 0.2, Z: 0.05 }) });
  });

  it.each([
    ["SPECTRAL_NM", 1],
    ["SPECTRAL_", 100],
    ["nm", 1],
    ["SPECTRAL_NM_", 1],
  ])("follows from reflectances in fields named %s…, times %d", (prefix, scale) => {
    const spectrum = spectrumOf({ L: 55, a: 50, b: 40 });
    const names = Array.from(spectrum, (_, i) => `${prefix}${380 + 10 * i}`);
    const readings = table(`SAMPLE_ID ${names.join(" ")}`, [
      `1 ${Array.from(spectrum, (v) => v * scale).join(" ")}`,
    ]);
    const colour = sampleColour(readings, "1") as { value: { L: number; a: number; b: number } };
    const wanted = labFromSpectrum(spectrum);
    for (const key of ["L", "a", "b"] as const) expect(colour.value[key]).toBeCloseTo(wanted[key], 6);
  });

  it("follows from reflectances that begin later and stand wider, near enough", () => {
    const spectrum = spectrumOf({ L: 55, a: 50, b: 40 });
    const at = Array.from({ length: 16 }, (_, i) => 400 + 20 * i);
    const readings = table(`SAMPLE_ID ${at.map((nm) => `SPECTRAL_${nm}`).join(" ")}`, [
      `1 ${at.map((nm) => spectrum[(nm - 380) / 10]).join(" ")}`,
    ]);
    const { value } = sampleColour(readings, "1") as { value: { L: number; a: number; b: number } };
    expect(Math.hypot(value.L - 55, value.a - 50, value.b - 40)).toBeLessThan(1);
  });

  it.each([
    ['WEIGHTING_FUNCTION "ILLUMINANT,D65"\n', "illuminant D65"],
    ["ILLUMINANT D65\n", "illuminant D65"],
    ["OBSERVER 10\n", "the 10° observer"],
  ])("is refused under other conditions: %s", (header, named) => {
    const readings = table("SAMPLE_ID LAB_L LAB_A LAB_B", ["1 50 0 0"], header);
    expect(messageOf(sampleColour(readings, "1"))).toBe(
      `the colours are measured under ${named}; D50 and the 2° observer are needed, or reflectances`,
    );
  });

  it.each([
    ["D50", 'WEIGHTING_FUNCTION "ILLUMINANT,D50"\nWEIGHTING_FUNCTION "OBSERVER,2 degree"\n'],
    ["nothing said", ""],
  ])("is taken with %s", (_, header) => {
    expect(sampleColour(table("SAMPLE_ID LAB_L LAB_A LAB_B", ["1 50 0 0"], header), "1")).toEqual({
      value: { L: 50, a: 0, b: 0 },
    });
  });

  it.each<[string, string, string[], string]>([
    [
      "a misspelt sample",
      "SAMPLE_NAME LAB_L LAB_A LAB_B",
      ["ember 50 0 0"],
      'there is no sample "embr"; did you mean "ember"?',
    ],
    [
      "no names",
      "LAB_L LAB_A LAB_B",
      ["50 0 0"],
      "no field SAMPLE_NAME or SAMPLE_ID tells the samples apart",
    ],
    [
      "a word for a number",
      "SAMPLE_NAME LAB_L LAB_A LAB_B",
      ["embr 50 n/a 0"],
      'LAB_A is "n/a"; a number belongs there',
    ],
    [
      "an impossible L*",
      "SAMPLE_NAME LAB_L LAB_A LAB_B",
      ["embr 500 0 0"],
      "LAB_L is 500; it lies between 0 and 100",
    ],
    [
      "no colour",
      "SAMPLE_NAME D_VIS",
      ["embr 1.4"],
      "no colour is given: LAB_L, LAB_A and LAB_B, or XYZ_X, XYZ_Y and XYZ_Z, or reflectances (SPECTRAL_…)",
    ],
  ])("says what is wrong: %s", (_, fields, rows, message) => {
    expect(messageOf(sampleColour(table(fields, rows), "embr"))).toBe(message);
  });
});

describe("a wedge", () => {
  const FIELDS = "SAMPLE_ID CMYK_C CMYK_K LAB_L LAB_A LAB_B";
  it("has its steps by rising tone; what was measured twice counts once", () => {
    const readings = table(FIELDS, ["1 0 100 20 0 0", "2 0 0 90 0 0", "3 0 50 40 0 0", "4 0 50 50 2 0"]);
    expect(wedgeSteps(readings, undefined)).toEqual({
      value: [
        { tone: 0, colour: { L: 90, a: 0, b: 0 }, line: 7 },
        { tone: 0.5, colour: { L: 45, a: 1, b: 0 }, line: 8 },
        { tone: 1, colour: { L: 20, a: 0, b: 0 }, line: 6 },
      ],
    });
  });

  it.each<[string, string[], string | undefined, string]>([
    [
      "two fields",
      ["1 0 0 90 0 0", "2 50 100 20 0 0"],
      undefined,
      "several fields may hold the tones on film (CMYK_C, CMYK_K); name one with tone:",
    ],
    [
      "none",
      ["1 0 0 90 0 0", "2 0 0 20 0 0"],
      undefined,
      "no field holds the wedge's tones on film; name it with tone:",
    ],
    [
      "a field that is not there",
      ["1 0 0 90 0 0"],
      "CMYK_Q",
      'there is no field CMYK_Q; did you mean "CMYK_C"?',
    ],
    [
      "a tone outside of 0 to 100",
      ["1 0 101 90 0 0"],
      "CMYK_K",
      "CMYK_K is 101; a tone lies between 0 and 100",
    ],
  ])("says what is wrong: %s", (_, rows, tone, message) => {
    expect(messageOf(wedgeSteps(table(FIELDS, rows), tone))).toBe(message);
  });
});
