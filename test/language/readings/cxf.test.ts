import { describe, expect, it } from "vitest";
import { isXml, parseCxf } from "../../../server/language/readings/cxf.ts";
import { targetReadings } from "../../../server/language/readings/target-readings.ts";

// The elements of ISO 17972-1 and -4 by name; the figures are invented.
const cxf = (objects: string, more = "", specifications = "") => `<?xml version="1.0" encoding="UTF-8"?>
<cc:CxF xmlns:cc="http://colorexchangeformat.com/CxF3-core">
 <cc:Resources>
  <cc:ObjectCollection>
${objects}
  </cc:ObjectCollection>
  <cc:ColorSpecificationCollection>
   <cc:ColorSpecification Id="M0">
    <cc:TristimulusSpec><cc:Illuminant>D50</cc:Illuminant><cc:Observer>2_Degree</cc:Observer></cc:TristimulusSpec>
    <cc:MeasurementSpec><cc:WavelengthRange StartWL="380" Increment="10"/></cc:MeasurementSpec>
   </cc:ColorSpecification>${specifications}
  </cc:ColorSpecificationCollection>
 </cc:Resources>
${more}
</cc:CxF>`;
const lab = (name: string, id: string, L: number, a = 0, b = 0, spec = "M0") =>
  `<cc:Object ObjectType="Standard" Name="${name}" Id="${id}"><cc:ColorValues><cc:ColorCIELab ColorSpecification="${spec}"><cc:L>${L}</cc:L><cc:A>${a}</cc:A><cc:B>${b}</cc:B></cc:ColorCIELab></cc:ColorValues></cc:Object>`;

describe("CxF3", () => {
  it("gives its objects by name, from CIELAB or from reflectances", () => {
    const grey = Array(36).fill("0.184187").join(" ");
    const spectrum = `<cc:Object Name="ember solid over black card" Id="b"><cc:ColorValues><cc:ReflectanceSpectrum ColorSpecification="M0">${grey}</cc:ReflectanceSpectrum></cc:ColorValues></cc:Object>`;
    const table = parseCxf(cxf(`${lab("ember solid over white card", "a", 52.5, 58, 34)}\n${spectrum}`));
    expect(table.problems).toEqual([]);
    const { readings, problems } = targetReadings(table);
    expect(problems).toEqual([]);
    expect(readings.map(({ line }) => line)).toEqual([5, 6]);
    expect(readings[0]!.colour).toEqual({ L: 52.5, a: 58, b: 34 });
    // L* of Y = 0.184187 is 50 (CIE 15).
    expect(readings[1]!.colour!.L).toBeCloseTo(50, 3);
    expect(Math.hypot(readings[1]!.colour!.a, readings[1]!.colour!.b)).toBeLessThan(0.01);
  });

  it("gives a spot ink's tints over its substrate, and its solids over white and black", () => {
    const set = (background: string, tints: [number, string][]) =>
      `<sic:MeasurementSet Background="${background}">${tints.map(([t, ref]) => `<sic:Measurement TintLevel="${t}" ObjectRef="${ref}"/>`).join("")}</sic:MeasurementSet>`;
    const more = `<cc:CustomResources><sic:SpotInkCharacterisation xmlns:sic="http://colorexchangeformat.com/CxF3-SpotInkCharacterisation" SpotInkName="Warm Red">${set(
      "Substrate",
      [
        [0, "p"],
        [50, "h"],
        [100, "s"],
      ],
    )}${set("Black", [[100, "k"]])}</sic:SpotInkCharacterisation></cc:CustomResources>`;
    const objects = [lab("x", "p", 95), lab("x", "h", 70, 30), lab("x", "s", 50, 60), lab("x", "k", 42, 48)];
    const { readings } = targetReadings(parseCxf(cxf(objects.join("\n"), more)));
    expect(
      readings.map(
        ({ sample: s, colour }) => s.kind === "patch" && [s.ink, s.screen, s.tone, s.over, colour!.L],
      ),
    ).toEqual([
      ["Warm-Red", "tints", 0, "garment", 95],
      ["Warm-Red", "tints", 50, "garment", 70],
      ["Warm-Red", "tints", 100, "garment", 50],
      ["Warm-Red", undefined, 100, "white card", 50],
      ["Warm-Red", undefined, 100, "black card", 42],
    ]);
  });

  it.each([
    ["no XML", "<cc:CxF><a></cc:CxF>", 1, /this is no XML/],
    ["a document type", '<!DOCTYPE x [<!ENTITY y SYSTEM "file:///etc/passwd">]><CxF/>', 1, /document type/],
    ["nothing of a colour", cxf(""), 1, /no object with a colour/],
    [
      "another illuminant",
      cxf(
        lab("ember solid over garment", "a", 50, 0, 0, "D65"),
        "",
        '<cc:ColorSpecification Id="D65"><cc:TristimulusSpec><cc:Illuminant>D65</cc:Illuminant><cc:Observer>10_Degree</cc:Observer></cc:TristimulusSpec></cc:ColorSpecification>',
      ),
      5,
      /measured under D65, 10_Degree; D50 and the 2° observer are needed/,
    ],
    [
      "no colour at all",
      cxf(lab("ember solid over garment", "a", 500)),
      5,
      /L, A and B are no CIELAB colour/,
    ],
  ])("says what is wrong: %s", (_, text, line, message) => {
    const [problem] = parseCxf(text).problems;
    expect(problem).toMatchObject({ level: "error", line });
    expect(problem!.message).toMatch(message);
  });

  it("is told from CGATS by its first sign", () => {
    expect([isXml(cxf("")), isXml("\ufeff<CxF/>"), isXml("CGATS.17\n<")]).toEqual([true, true, false]);
  });
});
