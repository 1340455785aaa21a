import { type Parsed, refused } from "./parsed.ts";
import { parseQuantity } from "./quantity.ts";

/** "70%" as a share, 0–1. The sign is required, so that 0.7 and 70 cannot be mistaken for each other. */
export function parsePercentage(text: string): Parsed<number> {
  // Someone who writes 0.7 thinks of a share, not of seven tenths of a percent.
  if (/^\s*(?:0?\.\d+|1(?:\.0+)?)\s*$/.test(text)) {
    return refused(`"${text}" has no percent sign; write ${Number((Number(text) * 100).toFixed(6))}%`);
  }
  return parseQuantity(text, {
    name: "a percentage",
    units: { "%": 0.01 },
    offered: ["%"],
    least: 0,
    most: 1,
    bounds: "not between 0% and 100%",
  });
}

/** What is cut off one side, under half: "8.5%" as a share, 0–0.49. */
export function parseMargin(text: string): Parsed<number> {
  return parseQuantity(text, {
    name: "a margin",
    units: { "%": 0.01 },
    offered: ["%"],
    least: 0,
    most: 0.49,
    bounds: "not between 0% and 49%",
  });
}

/** A sum of tones, "240%" as 2.4: several plates' ink on one place. */
export function parseInkSum(text: string): Parsed<number> {
  if (/^\s*\d(?:\.\d+)?\s*$/.test(text)) {
    return refused(`"${text}" has no percent sign; write ${Number((Number(text) * 100).toFixed(6))}%`);
  }
  return parseQuantity(text, {
    name: "a sum of tones",
    units: { "%": 0.01 },
    offered: ["%"],
    least: 0.5,
    most: 10,
    bounds: "not between 50% and 1000%",
  });
}
