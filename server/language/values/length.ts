import { MM_PER_INCH } from "../../engine/units.ts";
import type { Parsed } from "./parsed.ts";
import { parseQuantity, type QuantityKind } from "./quantity.ts";

const LENGTH: QuantityKind = {
  name: "a length",
  units: { in: MM_PER_INCH, mm: 1, cm: 10, um: 0.001, µm: 0.001, μm: 0.001 },
  offered: ["in", "mm", "cm"],
  least: 0,
  most: 10_000,
  bounds: "not a length from 0 to 10 m",
};

const POSITION: QuantityKind = { ...LENGTH, least: -10_000, bounds: "more than 10 m away" };

/** "12 in", "0.3 mm", "3 cm" or "64 um" in millimetres; never negative. */
export function parseLength(text: string): Parsed<number> {
  return parseQuantity(text, LENGTH);
}

/** A distance from the artwork's left or top edge in millimetres; it may be negative. */
export function parsePosition(text: string): Parsed<number> {
  return parseQuantity(text, POSITION);
}
