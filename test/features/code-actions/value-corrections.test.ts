import { describe, expect, it } from "vitest";
import { correctedValues } from "../../../server/features/code-actions/value-corrections.ts";

describe("what was meant by", () => {
  it.each([
    ["percentage", "0.7", ["70%"]],
    ["percentage", "1", ["100%"]],
    ["percentage", "70", ["70%"]],
    ["percentage", "0,7", ["70%"]],
    ["percentage", "70 pct", ["70%"]],
    ["length", "12,5 in", ["12.5 in"]],
    ["length", "12", ["12 in", "12 mm", "12 cm"]],
    ["length", '12"', ["12 in"]],
    ["length", "3 Millimetres", ["3 mm"]],
    ["position", "-3", ["-3 in", "-3 mm", "-3 cm"]],
    ["ruling", "45", ["45 lpi", "45 l/cm"]],
    ["ruling", "45 LPI", ["45 lpi"]],
    ["resolution", "1200", ["1200 dpi", "1200 d/cm"]],
    ["mesh-count", "90", ["90/in", "90/cm"]],
    ["colour", "d8431f", ["#d8431f"]],
  ])("a %s of %s", (format, text, expected) => {
    expect(correctedValues(format, text)).toEqual(expected);
  });

  it.each([
    ["percentage", "170"],
    ["percentage", "70%"],
    ["length", "wide"],
    ["length", "12 parsecs"],
    ["ruling", "4500"],
    ["colour", "reddish"],
    ["name", "a b"],
  ])("a %s of %s is anybody's guess", (format, text) => {
    expect(correctedValues(format, text)).toEqual([]);
  });
});
