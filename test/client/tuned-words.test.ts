import { expect, it } from "vitest";
import { tunedWords } from "../../client/tuned-words.ts";

it("shows garments, changes and what is left, and hands the new text on", () => {
  const told = tunedWords(
    JSON.stringify({
      text: "recipe: 1\n",
      numbers: 1,
      said: ["ember: hue fade 12 → 20; 0.40 nearer"],
      garments: [{ garment: "black", setup: "dark", before: 5.123, after: 4.7 }],
      left: ["black: ΔE00 4.70 at sampled pixels"],
    }),
  );
  expect(told?.text).toBe("recipe: 1\n");
  expect(told?.words).toBe(
    "black (dark): ΔE00 5.12 → 4.70\n\nember: hue fade 12 → 20; 0.40 nearer\n\nblack: ΔE00 4.70 at sampled pixels\n",
  );
});

it("tells why a recipe is left alone", () => {
  const told = tunedWords(JSON.stringify({ untouched: "flat art" }));
  expect(told).toEqual({ text: undefined, words: "The recipe is left as it is: flat art\n" });
});

it("takes nothing else for a report", () => {
  expect(tunedWords("usage: platewright")).toBeUndefined();
});

it("has a dash for what is not known, and nothing of what is not told", () => {
  const told = tunedWords(JSON.stringify({ garments: [{ garment: "black", setup: "dark", after: 4 }] }));
  expect(told?.words).toBe("black (dark): ΔE00 – → 4.00\n");
  expect(tunedWords("{}")).toEqual({ text: undefined, words: "" });
});
