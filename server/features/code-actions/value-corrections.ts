import { FORMATS, UNITS } from "../../language/values/formats.ts";

/** Other spellings of the units. */
const SPELLINGS: readonly (readonly [form: RegExp, unit: string])[] = [
  [/^(?:inch|inches|"|″)$/i, " in"],
  [/^(?:millimet(?:er|re)s?|mm)$/i, " mm"],
  [/^(?:centimet(?:er|re)s?|cm)$/i, " cm"],
  [/^(?:microns?|micromet(?:er|re)s?)$/i, " um"],
  [/^(?:percent|per cent|pct)$/i, "%"],
];

/**
 * What a text that does not read as a value of `format` was most likely meant to be: one text where there is no
 * doubt, several where the unit is missing, none where nothing known comes near. All that is given reads.
 */
export function correctedValues(format: string, text: string): string[] {
  const parse = FORMATS[format];
  if (!parse) return [];
  const reads = (candidates: readonly string[]) => candidates.filter((candidate) => parse(candidate).ok);
  const trimmed = text.trim().replace(/^([+-]?\d*),(\d+)/, "$1.$2");
  if (reads([trimmed]).length > 0) return trimmed === text ? [] : [trimmed];
  if (format === "colour") return reads([`#${trimmed}`]);
  const [, digits = "", unit = ""] = /^([+-]?(?:\d+(?:\.\d*)?|\.\d+))\s*(.*)$/.exec(trimmed) ?? [];
  if (digits === "") return [];
  // Nobody asks for seven tenths of a percent: 0.7 is a share.
  if (format === "percentage" && unit === "" && Number(digits) > 0 && Number(digits) <= 1)
    return reads([`${Number((Number(digits) * 100).toFixed(6))}%`]);
  if (unit === "") return reads((UNITS[format] ?? []).map((known) => digits + known));
  const known = [
    ...SPELLINGS.filter(([form]) => form.test(unit)).map(([, proper]) => proper),
    ...(UNITS[format] ?? []).filter((proper) => proper.trim() === unit.toLowerCase()),
  ];
  return [...new Set(reads(known.map((proper) => digits + proper)))];
}
