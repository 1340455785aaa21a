import { converter, parse } from "culori";
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { parseColour } from "../../../server/language/values/colour.ts";
import { holds } from "../../property.ts";

const FORMS = 'write sRGB as "#d8431f" or a measured colour as lab(50.2 58.1 49.0)';

describe("a colour", () => {
  it("in hex has the CIELAB (D50) that culori gives it", () => {
    const lab = converter("lab");
    holds(
      fc.property(fc.integer({ min: 0, max: 0xffffff }), (number) => {
        const hex = `#${number.toString(16).padStart(6, "0")}`;
        const read = parseColour(hex);
        const expected = lab(parse(hex))!;
        if (!read.ok) throw new Error(read.problem);
        expect(read.value.notation).toBe("hex");
        expect(read.value.lab.L).toBeCloseTo(expected.l, 2);
        expect(read.value.lab.a).toBeCloseTo(expected.a, 2);
        expect(read.value.lab.b).toBeCloseTo(expected.b, 2);
      }),
    );
  });

  it("in short hex is the same as in long", () => {
    expect(parseColour("#fA0")).toEqual(parseColour("#ffaa00"));
  });

  it("in CIELAB is kept as it was measured", () => {
    expect(parseColour(" lab(52.5 -58 4.25) ")).toEqual({
      ok: true,
      value: { notation: "lab", lab: { L: 52.5, a: -58, b: 4.25 } },
    });
  });

  it.each([
    ["lab(0 -160 160)", 0],
    ["lab(100 160 -160)", 100],
  ])("may reach the bounds: %s", (text, L) => {
    expect(parseColour(text)).toMatchObject({ ok: true, value: { lab: { L } } });
  });

  it.each([
    ["red", `"red" is not a colour; ${FORMS}`],
    ["#12345", `"#12345" is not a colour; ${FORMS}`],
    ["d8431f", `"d8431f" is not a colour; ${FORMS}`],
    ["#d8431f80", `"#d8431f80" is not a colour; ${FORMS}`],
    ["#fff8", `"#fff8" is not a colour; ${FORMS}`],
    ["rgb(1 2 3)", `"rgb(1 2 3)" is not a colour; ${FORMS}`],
    ["oklab(0.5 0.1 0.1)", `"oklab(0.5 0.1 0.1)" is not a colour; ${FORMS}`],
    ["", `"" is not a colour; ${FORMS}`],
    ["lab(50 0 0 / 0.5)", '"lab(50 0 0 / 0.5)" has an alpha; an ink\'s opacity has a key of its own'],
    ["lab(50 none 0)", `"lab(50 none 0)" is not a colour; ${FORMS}`],
    ["lab(50 1)", `"lab(50 1)" is not a colour; ${FORMS}`],
    ["lab(0a)", `"lab(0a)" is not a colour; ${FORMS}`],
    ["lab(", `"lab(" is not a colour; ${FORMS}`],
    ["lab(50 161 0)", '"lab(50 161 0)" has a* or b* beyond ±160'],
    ["lab(50 0 -160.5)", '"lab(50 0 -160.5)" has a* or b* beyond ±160'],
  ])("is not %j", (text, problem) => {
    expect(parseColour(text)).toEqual({ ok: false, problem });
  });

  it.each(["lab(-1 0 0)", "lab(100.5 0 0)"])("%s has no such lightness", (text) => {
    expect(parseColour(text)).toEqual({ ok: false, problem: `"${text}" has L* outside 0 to 100` });
  });
});
