import { describe, expect, it } from "vitest";
import { labFromBytes } from "../../server/engine/colour/cielab.ts";
import { colourWord, uniqueNames } from "../../server/propose/names.ts";

const lab = (hex: string) => {
  const [r, g, b] = [1, 3, 5].map((i) => Number.parseInt(hex.slice(i, i + 2), 16)) as [
    number,
    number,
    number,
  ];
  return labFromBytes(r, g, b);
};

describe("names of inks", () => {
  // sRGB's own primaries and colours that English has a word for.
  it.each([
    ["#ff0000", "red"],
    ["#ff8800", "orange"],
    ["#ffff00", "yellow"],
    ["#00a040", "green"],
    ["#2060c0", "blue"],
    ["#101840", "navy"],
    ["#7a4a20", "brown"],
    ["#ff80b0", "pink"],
    ["#ffffff", "white"],
    ["#808080", "grey"],
    ["#0a0a0a", "black"],
  ])("%s is %s", (hex, word) => expect(colourWord(lab(hex))).toBe(word));

  it("are each used once, and none that is taken", () => {
    const names = uniqueNames([lab("#ff0000"), lab("#f01010"), lab("#2060c0")], ["blue"]);
    expect(names).toEqual(["red", "red-2", "blue-2"]);
  });

  it("are names that a recipe takes, for every colour", () => {
    for (let r = 0; r < 256; r += 51)
      for (let g = 0; g < 256; g += 51)
        for (let b = 0; b < 256; b += 51)
          expect(colourWord(labFromBytes(r, g, b))).toMatch(/^[a-z][a-z-]{2,20}$/);
  });
});
