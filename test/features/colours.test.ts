import { describe, expect, it } from "vitest";
import type { Color } from "vscode-languageserver-types";
import { colourPresentations, documentColours } from "../../server/features/colours.ts";
import { edited, read, soundBut, textAt } from "./model.ts";

const bytes = ({ red, green, blue, alpha }: Color) => [
  ...[red, green, blue].map((v) => Math.round(v * 255)),
  alpha,
];

describe("colours", () => {
  it("are found in garments, inks and extractions, and nowhere else", () => {
    const { model } = read(
      soundBut("{ hue: [350, 50] }", '{ near: "#7b8088", within: 10 }').replace(
        "recipe: 1",
        'recipe: 1\ntitle: "#123456"',
      ),
    );
    expect(documentColours(model).map(({ range }) => textAt(model, range))).toEqual([
      '"#17171a"',
      '"#f8f8f4"',
      '"#d8431f"',
      '"#7b8088"',
    ]);
  });

  it("of a hex are its bytes", () => {
    expect(
      documentColours(read(soundBut("#17171a", "#d8431f")).model).map(({ color }) => bytes(color))[0],
    ).toEqual([216, 67, 31, 1]);
  });

  it.each([
    // From CIE 15: white is L* 100, black L* 0, and a neutral stays one.
    ["white", "lab(100 0 0)", [255, 255, 255, 1]],
    ["black", "lab(0 0 0)", [0, 0, 0, 1]],
    ["mid grey", "lab(53.585 0 0)", [128, 128, 128, 1]],
  ])("of a measured %s are what a screen shows", (_, lab, expected) => {
    const [garment] = documentColours(read(soundBut('"#17171a"', lab)).model);
    expect(bytes(garment!.color)).toEqual(expected);
  });

  it("that no screen shows are inside of its range", () => {
    const [garment] = documentColours(read(soundBut('"#17171a"', "lab(60 -120 20)")).model);
    expect(Object.values(garment!.color).every((v) => v >= 0 && v <= 1)).toBe(true);
  });

  it("that are not written properly are none", () => {
    expect(documentColours(read(soundBut("#17171a", "#1717")).model)).toHaveLength(2);
  });

  it("are found in a shop file", () => {
    const { model } = read("shop: 1\ninks:\n  a: { colour: lab(50 0 0), opacity: 9% }\n", { kind: "shop" });
    expect(documentColours(model).map(({ range }) => textAt(model, range))).toEqual(["lab(50 0 0)"]);
  });
});

describe("a picked colour", () => {
  const picked = (written: string, hex: string) => {
    const { model } = read(soundBut('"#17171a"', written));
    const { range } = documentColours(model)[0]!;
    const [red, green, blue] = [1, 3, 5].map((i) => Number.parseInt(hex.slice(i, i + 2), 16) / 255);
    const [presentation] = colourPresentations(
      model,
      { red: red!, green: green!, blue: blue!, alpha: 1 },
      range,
    );
    const text = edited(model, [presentation!.textEdit!]);
    return { text: /black: \{ colour: (.*) \}/.exec(text)?.[1], label: presentation!.label };
  };

  it.each([
    ["a hex in the same quotes", "'#17171a'", "#d8431f", "'#d8431f'"],
    ["a hex in capitals", '"#ABCDEF"', "#d8431f", '"#D8431F"'],
    ["a short hex in full", '"#fff"', "#d8431f", '"#d8431f"'],
    ["a measured colour with as many digits", "lab(50.2 0 0)", "#ffffff", "lab(100 0 0)"],
    ["a measured colour in its quotes", '"lab(50 10 10)"', "#000000", '"lab(0 0 0)"'],
  ])("is written as %s", (_, written, hex, expected) => {
    expect(picked(written, hex).text).toBe(expected);
  });

  it("keeps the digits that stand there", () => {
    expect(picked("lab(50.25 0 0)", "#d8431f").text).toMatch(
      /^lab\(\d+\.\d{1,2} \d+\.\d{1,2} \d+\.\d{1,2}\)$/,
    );
    expect(picked("lab(50 0 0)", "#d8431f").text).toMatch(/^lab\(\d+ \d+ \d+\)$/);
  });

  it("is shown without quotes", () => {
    expect(picked('"#17171a"', "#d8431f").label).toBe("#d8431f");
  });

  it.each(["#17171a", "#d8431f", "#00ff7f", "#f8f8f4"])("that is %s comes back from CIELAB", (hex) => {
    const { text } = picked("lab(50.000 0 0)", hex);
    const [garment] = documentColours(read(soundBut('"#17171a"', text!)).model);
    expect(
      `#${bytes(garment!.color)
        .slice(0, 3)
        .map((v) => v!.toString(16).padStart(2, "0"))
        .join("")}`,
    ).toBe(hex);
  });
});
