import { deltaE00 } from "../../engine/colour/ciede2000.ts";
import type { Lab } from "../../engine/colour/cielab.ts";
import { MM_PER_INCH } from "../../engine/units.ts";

/** One difference between two recipes, as a separator would say it. */
export interface Change {
  /** What it is about, as the sentence begins: a plate's name, `setup light`, `ink gold`. */
  readonly subject: string;
  /** Plates that it is about, by their new names where they still exist. */
  readonly plates: readonly string[];
  /** `hue range widened 350–50 → 345–55` */
  readonly text: string;
  /** Whether what is printed may change. Titles, notes for the press and reasons do not print. */
  readonly prints: boolean;
}

/** Numbers that come of one quantity in two units differ by rounding alone. */
export function same(a: number, b: number): boolean {
  return Math.abs(a - b) <= 1e-9 * Math.max(1, Math.abs(a), Math.abs(b));
}

/** Deep equality under which numbers may differ by rounding. */
export function alike(a: unknown, b: unknown): boolean {
  if (typeof a === "number" && typeof b === "number") return same(a, b);
  if (typeof a !== "object" || typeof b !== "object" || a === null || b === null) return a === b;
  if (Array.isArray(a) !== Array.isArray(b)) return false;
  if (Array.isArray(a) && a.length !== (b as unknown[]).length) return false;
  const keys = new Set([...Object.keys(a), ...Object.keys(b)]);
  return [...keys].every((key) =>
    alike((a as Record<string, unknown>)[key], (b as Record<string, unknown>)[key]),
  );
}

/** Colours nearer than this are one colour, rounded in two notations. */
const ONE_COLOUR = 0.05;

export function sameColour(a: Lab, b: Lab): boolean {
  return distance(a, b) < ONE_COLOUR;
}

export function distance(a: Lab, b: Lab): number {
  return deltaE00(a.L, a.a, a.b, b.L, b.a, b.b);
}

export function colourText({ L, a, b }: Lab): string {
  return `lab(${number(L)} ${number(a)} ${number(b)})`;
}

/** `lab(56 56 56) → lab(52 60 50), ΔE00 4.6` */
export function colourChange(before: Lab, after: Lab): string {
  return `${colourText(before)} → ${colourText(after)}, ΔE00 ${distance(before, after).toFixed(1)}`;
}

export function number(value: number, decimals = 1): string {
  const text = String(Number(value.toFixed(decimals)));
  return (text === "-0" ? "0" : text).replace("-", "−");
}

/** `0.1 → 0.25 mm`; as written where three decimals do, else with as many as tell the two apart. */
export function numbers(before: number, after: number, unit = ""): string {
  const written = [1, 2, 3].find((decimals) => isWritten(before, decimals) && isWritten(after, decimals));
  let decimals = written ?? 1;
  while (decimals < 6 && number(before, decimals) === number(after, decimals)) decimals++;
  return `${number(before, decimals)} → ${number(after, decimals)}${unit}`;
}

/** Whether a value has no more decimals than these. */
function isWritten(value: number, decimals: number): boolean {
  return Math.abs(value - Number(value.toFixed(decimals))) < 1e-9;
}

export function percent(share: number): string {
  return `${number(share * 100)} %`;
}

export function mm(length: number): string {
  return `${number(length, 3)} mm`;
}

/** A mesh count or a ruling is written per inch. */
export function perInch(count: number): string {
  return `${number(count)}/in`;
}

/** Prints are spoken of in inches where these are round, else in mm. */
export function sizeText(lengthMm: number): string {
  const inches = lengthMm / MM_PER_INCH;
  return same(inches, Math.round(inches * 4) / 4) ? `${number(inches, 2)} in` : mm(lengthMm);
}

/** What one map has, the other has, and both have, in the new one's order. */
export function keysOf<T>(before: ReadonlyMap<string, T>, after: ReadonlyMap<string, T>) {
  return {
    gone: [...before.keys()].filter((key) => !after.has(key)),
    come: [...after.keys()].filter((key) => !before.has(key)),
    kept: [...after.keys()].filter((key) => before.has(key)),
  };
}
