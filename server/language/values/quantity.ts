import { type Parsed, parsed, refused } from "./parsed.ts";

/** One kind of number with a unit, such as a length or a ruling. */
export interface QuantityKind {
  /** How a message names it, with its article: "a length". */
  readonly name: string;
  /** Factor from each unit to the kind's own unit. */
  readonly units: Readonly<Record<string, number>>;
  /** Units offered in messages, in this order. */
  readonly offered: readonly string[];
  readonly least: number;
  readonly most: number;
  /** The bounds in words, for the message when the value lies outside. */
  readonly bounds: string;
}

// Matches in one way only, so that no text takes longer than its length.
const FORM = /^([+-]?(?:\d+(?:\.\d*)?|\.\d+))\s*([\s\S]*)$/;

/** Reads "12 in" as a number in the kind's own unit. The space is optional; a decimal comma is refused. */
export function parseQuantity(text: string, kind: QuantityKind): Parsed<number> {
  const trimmed = text.trim();
  if (/^[+-]?\d+,\d/.test(trimmed)) {
    return refused(`"${text}" has a decimal comma; write ${trimmed.replace(",", ".")}`);
  }
  const match = FORM.exec(trimmed);
  if (!match) return refused(`"${text}" is not ${kind.name}; write for example ${example(kind, "12")}`);
  const [, digits = "", unit = ""] = match;
  if (unit === "") {
    return refused(`"${text}" has no unit; write ${alternatives(kind.offered.map((u) => join(digits, u)))}`);
  }
  const factor = Object.hasOwn(kind.units, unit) ? kind.units[unit] : undefined;
  if (factor === undefined) {
    return refused(`"${unit}" is not a unit of ${kind.name}; use ${alternatives(kind.offered)}`);
  }
  // To twelve digits, so that one measure is one number in whatever unit it is written: 0.07 cm is 0.7 mm.
  const value = Number((Number(digits) * factor).toPrecision(12));
  if (!(value >= kind.least && value <= kind.most)) return refused(`"${text}" is ${kind.bounds}`);
  return parsed(value);
}

function example(kind: QuantityKind, digits: string): string {
  return join(digits, kind.offered[0] ?? "");
}

function join(digits: string, unit: string): string {
  return /^[%/]/.test(unit) ? digits + unit : `${digits} ${unit}`;
}

function alternatives(items: readonly string[]): string {
  return items.length < 2 ? items.join("") : `${items.slice(0, -1).join(", ")} or ${items.at(-1)}`;
}
