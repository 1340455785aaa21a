import { expect, it } from "vitest";
import { widthAnswer } from "../../client/width-answer.ts";

it.each([
  ["", 2100, undefined, ""],
  ["10", 2100, "error", "Write a length with its unit, such as 10 in or 250 mm."],
  ["0 in", 2100, "error", "Write a length with its unit, such as 10 in or 250 mm."],
  ["-3 in", "drawing", "error", "Write a length with its unit, such as 10 in or 250 mm."],
  ["10 in", 2100, "info", "10 in is 210 ppi of this picture."],
  [" 254mm ", 2100, "info", "254 mm is 210 ppi of this picture."],
  ["25.4 cm", 1499, "info", "25.4 cm is 150 ppi of this picture."],
  ["20 in", 2100, "warning", "20 in is 105 ppi of this picture; under 150 edges are soft."],
  ["20 in", "drawing", "info", "20 in: a drawing is sharp at any width."],
  ["20 in", undefined, undefined, ""],
] as const)("a width of %j of %s pixels", (typed, pixels, level, text) => {
  expect(widthAnswer(typed, pixels)).toEqual(level && { level, text });
});
