import { type Parsed, parsed, refused } from "./parsed.ts";

/** A day as ISO 8601 writes it, 2026-03-14; the text itself is the value. */
export function parseDay(text: string): Parsed<string> {
  const match = /^(\d{4})-(\d{2})-(\d{2})$/.exec(text.trim());
  if (!match) return refused(`"${text}" is not a day; write year, month and day, such as 2026-03-14`);
  const [year, month, day] = match.slice(1).map(Number) as [number, number, number];
  const date = new Date(Date.UTC(year, month - 1, day));
  if (date.getUTCMonth() !== month - 1 || date.getUTCDate() !== day)
    return refused(`"${text}" is in no calendar; check month and day`);
  return parsed(text.trim());
}
