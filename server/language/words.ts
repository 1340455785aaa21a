import { type LengthUnit, MM_PER } from "../engine/units.ts";

/** "9 screens", "1 screen". */
export function counted(count: number, noun: string): string {
  return `${count} ${noun}${count === 1 ? "" : "s"}`;
}

/** `a`, `a and b`, `a, b and c` */
export function listed(words: readonly string[]): string {
  return words.length < 2 ? words.join("") : `${words.slice(0, -1).join(", ")} and ${words.at(-1)}`;
}

/** A share 0–1 as "12 %", or with so many decimals. */
export function percentage(share: number, decimals = 0): string {
  return `${(share * 100).toFixed(decimals)} %`;
}

/** With a capital, as a title or a message begins. */
export function sentence(text: string): string {
  return text.slice(0, 1).toUpperCase() + text.slice(1);
}

const DECIMALS: Readonly<Record<LengthUnit, number>> = { in: 2, cm: 2, mm: 1 };

/** Millimetres as a number of this unit, to a tenth of a millimetre or finer. */
export function lengthIn(mm: number, unit: LengthUnit): string {
  return String(Number((mm / MM_PER[unit]).toFixed(DECIMALS[unit])));
}

/** The same with its unit: "12 in". */
export function lengthText(mm: number, unit: LengthUnit): string {
  return `${lengthIn(mm, unit)} ${unit}`;
}

/** Square millimetres as an area of the unit's own: "77.1 in²"; cm² also where lengths are in millimetres. */
export function areaText(mm2: number, unit: LengthUnit): string {
  const square = unit === "in" ? "in" : "cm";
  return `${(mm2 / MM_PER[square] ** 2).toFixed(1)} ${square}²`;
}

/** A ruling or mesh count to the inch, by the inch or by the centimetre. */
export function perInchText(count: number, unit: LengthUnit): string {
  return unit === "in"
    ? String(Number(count.toFixed(1)))
    : String(Number(((count * MM_PER.cm) / MM_PER.in).toFixed(1)));
}
