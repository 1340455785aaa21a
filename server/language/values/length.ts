import { MM_PER_INCH } from "../../engine/units.ts";
import { type Parsed, parsed } from "./parsed.ts";
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

/** Percentages of the artwork's width, for what grows with the print. */
const SHARE: QuantityKind = {
  name: "a percentage of the artwork's width",
  units: { "%": 0.01 },
  offered: ["%"],
  least: 0,
  most: 10,
  bounds: "not between 0% and 1000% of the artwork's width",
};
const SIGNED_SHARE: QuantityKind = {
  ...SHARE,
  least: -10,
  bounds: "more than ten times the artwork's width away",
};

/** "12 in", "0.3 mm", "3 cm" or "64 um" in millimetres; never negative. */
export function parseLength(text: string): Parsed<number> {
  return parseQuantity(text, LENGTH);
}

/** A distance from the artwork's left or top edge in millimetres; it may be negative. */
export function parsePosition(text: string): Parsed<number> {
  return parseQuantity(text, POSITION);
}

/** The same in millimetres of a print as wide as that, where it may be written as "50%" of the artwork's width too. */
export function parsePrintPosition(text: string, widthMm: number): Parsed<number> {
  return inPrint(text, widthMm, POSITION, SIGNED_SHARE);
}

/** A length in a print as wide as that, "4 mm" or "2%" of the artwork's width, in millimetres. */
export function parsePrintLength(text: string, widthMm: number): Parsed<number> {
  return inPrint(text, widthMm, LENGTH, SHARE);
}

function inPrint(text: string, widthMm: number, length: QuantityKind, share: QuantityKind): Parsed<number> {
  if (!text.trim().endsWith("%"))
    return parseQuantity(text, { ...length, offered: [...length.offered, "%"] });
  const read = parseQuantity(text, share);
  return read.ok ? parsed(read.value * widthMm) : read;
}
