import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { FORMATS } from "../../../server/language/values/formats.ts";
import {
  parseLength,
  parsePosition,
  parsePrintLength,
  parsePrintPosition,
} from "../../../server/language/values/length.ts";
import { parseName, parseSizeName } from "../../../server/language/values/name.ts";
import type { Parsed } from "../../../server/language/values/parsed.ts";
import { parsePercentage } from "../../../server/language/values/percentage.ts";
import {
  parseMeshCount,
  parseResolution,
  parseRuling,
  parseSquare,
} from "../../../server/language/values/screen.ts";
import { parseDensity, parseFabricWeight } from "../../../server/language/values/weight.ts";
import { holds } from "../../property.ts";

type Read = (text: string) => Parsed<number>;

function reads(read: Read, cases: readonly (readonly [text: string, value: number])[]): void {
  it.each(cases)("reads %j as %d", (text, value) => {
    const result = read(text);
    expect(result).toMatchObject({ ok: true });
    if (result.ok) expect(result.value).toBeCloseTo(value, 9);
  });
}

function refuses(
  read: (text: string) => Parsed<unknown>,
  cases: readonly (readonly [text: string, problem: string])[],
): void {
  it.each(cases)("refuses %j", (text, problem) => {
    expect(read(text)).toEqual({ ok: false, problem });
  });
}

describe("a length", () => {
  reads(parseLength, [
    ["12 in", 304.8],
    ["0.3 mm", 0.3],
    ["3 cm", 30],
    ["64 um", 0.064],
    ["64 µm", 0.064],
    ["64 μm", 0.064],
    ["12in", 304.8],
    ["  2.  mm ", 2],
    [".5 mm", 0.5],
    ["+1 mm", 1],
    ["0 mm", 0],
    ["10000 mm", 10_000],
  ]);
  it("is one number in whatever unit it is written", () => {
    for (const text of ["0.7 mm", "0.07 cm", "700 um"])
      expect(parseLength(text)).toEqual({ ok: true, value: 0.7 });
    expect(parseLength("0.3 in")).toEqual({ ok: true, value: 7.62 });
  });
  refuses(parseLength, [
    ["0,3 mm", '"0,3 mm" has a decimal comma; write 0.3 mm'],
    ["12", '"12" has no unit; write 12 in, 12 mm or 12 cm'],
    ["12 parsec", '"parsec" is not a unit of a length; use in, mm or cm'],
    ["12 toString", '"toString" is not a unit of a length; use in, mm or cm'],
    ["-1 mm", '"-1 mm" is not a length from 0 to 10 m'],
    ["10000.1 mm", '"10000.1 mm" is not a length from 0 to 10 m'],
    ["wide", '"wide" is not a length; write for example 12 in'],
    ["", '"" is not a length; write for example 12 in'],
    [". mm", '". mm" is not a length; write for example 12 in'],
    ["1.2.3 mm", '".3 mm" is not a unit of a length; use in, mm or cm'],
  ]);
});

describe("a position", () => {
  reads(parsePosition, [
    ["-0.5 in", -12.7],
    ["20 mm", 20],
    ["-10 cm", -100],
  ]);
  refuses(parsePosition, [
    ["-10001 mm", '"-10001 mm" is more than 10 m away'],
    ["-0,5 in", '"-0,5 in" has a decimal comma; write -0.5 in'],
  ]);
});

describe("a percentage", () => {
  reads(parsePercentage, [
    ["70%", 0.7],
    ["70 %", 0.7],
    ["0%", 0],
    ["100%", 1],
    ["4.5%", 0.045],
    ["0.7%", 0.007],
  ]);
  refuses(parsePercentage, [
    ["0.7", '"0.7" has no percent sign; write 70%'],
    [".07", '".07" has no percent sign; write 7%'],
    ["1", '"1" has no percent sign; write 100%'],
    ["1.0", '"1.0" has no percent sign; write 100%'],
    ["70", '"70" has no unit; write 70%'],
    ["101%", '"101%" is not between 0% and 100%'],
    ["-1%", '"-1%" is not between 0% and 100%'],
    ["7,5%", '"7,5%" has a decimal comma; write 7.5%'],
    ["70 percent", '"percent" is not a unit of a percentage; use %'],
  ]);
});

describe("a ruling", () => {
  reads(parseRuling, [
    ["45 lpi", 45],
    ["45 l/in", 45],
    ["18 l/cm", 45.72],
    ["5 lpi", 5],
    ["300 lpi", 300],
  ]);
  refuses(parseRuling, [
    ["4 lpi", '"4 lpi" is not a ruling from 5 to 300 lpi'],
    ["119 l/cm", '"119 l/cm" is not a ruling from 5 to 300 lpi'],
    ["45", '"45" has no unit; write 45 lpi or 45 l/cm'],
    ["45 dpi", '"dpi" is not a unit of a ruling; use lpi or l/cm'],
  ]);
});

describe("a film resolution", () => {
  reads(parseResolution, [
    ["1200 dpi", 1200],
    ["480 d/cm", 1219.2],
    ["72 d/in", 72],
  ]);
  refuses(parseResolution, [
    ["60 dpi", '"60 dpi" is not a film resolution from 72 to 10000 dpi'],
    ["1200 lpi", '"lpi" is not a unit of a film resolution; use dpi or d/cm'],
  ]);
});

describe("a mesh count", () => {
  reads(parseMeshCount, [
    ["225/in", 225],
    ["90/cm", 228.6],
    ["90 /cm", 228.6],
  ]);
  refuses(parseMeshCount, [
    ["225", '"225" has no unit; write 225/in or 225/cm'],
    ["601/in", '"601/in" is not a mesh count from 10 to 600 threads per inch'],
    ["90 T", '"T" is not a unit of a mesh count; use /in or /cm'],
  ]);
});

describe("a grid of squares", () => {
  reads(parseSquare, [
    ["127/in", 0.2],
    ["50/cm", 0.2],
    ["0.2 mm", 0.2],
    ["200 um", 0.2],
  ]);
  refuses(parseSquare, [
    ["150", '"150" has no unit; write 150/in or 150 mm'],
    ["500/in", '"500/in" is not a grid from 20 to 400 squares per inch'],
    ["2 mm", '"2 mm" is not squares from 0.0635 to 1.27 mm across'],
    ["150 lpi", '"lpi" is not a unit of a grid; use /in or mm'],
  ]);
});

describe("a name", () => {
  it.each(["ember", "E", "Über-2_b", "墨", "a".repeat(40)])("may be %j", (text) => {
    expect(parseName(text)).toEqual({ ok: true, value: text });
  });
  refuses(
    parseName,
    ["", "2nd", "-a", "a b", "a/b", "../a", "a.b", "a".repeat(41), "a\n", " a"].map(
      (text) =>
        [
          text,
          `"${text}" cannot be a name; start with a letter and use letters, digits, hyphens or underscores, 40 at most`,
        ] as const,
    ),
  );
});

describe("any text", () => {
  const alike = fc.oneof(
    fc.string({ unit: "binary", maxLength: 30 }),
    fc.stringMatching(/^[-+]?[0-9.,]{0,6} ?(in|mm|cm|um|%|lpi|l\/cm|dpi|\/in|\/cm|[a-z]{0,3})$/),
    fc.stringMatching(/^(#[0-9a-f]{0,9}|lab\([-0-9. /%a-z]{0,20}\))$/),
  );
  it.each(Object.entries(FORMATS))("gives a %s or a problem in one sentence", (_, read) => {
    holds(
      fc.property(alike, (text) => {
        const result = read(text);
        if (result.ok) expect(result.value).toBeDefined();
        else expect(result.problem.length).toBeGreaterThan(10);
        if (result.ok && typeof result.value === "number")
          expect(Number.isFinite(result.value), text).toBe(true);
      }),
      2000,
    );
  });

  it("takes no longer than its length: a hundred thousand digits on two lines", () => {
    const begin = performance.now();
    expect(parseLength(`${"1".repeat(100_000)}\nmm`).ok).toBe(false);
    expect(performance.now() - begin).toBeLessThan(1000);
  });
});

describe("a density and a weight of fabric", () => {
  reads(parseDensity, [
    ["1.3 g/cm3", 1.3],
    ["1.44 kg/l", 1.44],
  ]);
  reads(parseFabricWeight, [
    ["180 g/m2", 180],
    // 28.349523125 g ÷ 0.83612736 m².
    ["10 oz/yd2", 339.057474749],
  ]);
  refuses(parseDensity, [["13 g/cm3", '"13 g/cm3" is not a density from 0.5 to 5 g/cm3']]);
  refuses(parseFabricWeight, [["180", '"180" has no unit; write 180 g/m2 or 180 oz/yd2']]);
});

describe("a place in a print 200 mm wide", () => {
  reads(
    (text) => parsePrintPosition(text, 200),
    [
      ["50%", 100],
      ["-10%", -20],
      ["5 mm", 5],
    ],
  );
  reads((text) => parsePrintLength(text, 200), [["2%", 4]]);
  refuses(
    (text) => parsePrintLength(text, 200),
    [
      ["-2%", '"-2%" is not between 0% and 1000% of the artwork\'s width'],
      ["2", '"2" has no unit; write 2 in, 2 mm, 2 cm or 2%'],
    ],
  );
});

describe("a size", () => {
  it.each(["L", "2XL", "10-12", "M/L"])("may be %s", (text) => {
    expect(parseSizeName(text)).toEqual({ ok: true, value: text });
  });
  it.each(["", "very very large", "-L", "L;"])("may not be %j", (text) => {
    expect(parseSizeName(text).ok).toBe(false);
  });
});
