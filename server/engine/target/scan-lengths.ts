import { MM_PER_INCH } from "../units.ts";
import type { Reading } from "./figures.ts";
import type { Placement, Scan } from "./place-sheet.ts";
import { FARTHEST, InkOfScan, type ScannedInk } from "./scanned-ink.ts";
import type { Sheet } from "./sheet.ts";

export interface ScanLengths {
  readonly readings: readonly Reading[];
  /** What cannot be read out of this scan, in sentences. */
  readonly unread: readonly string[];
}

/** Pixels an inch from which lines and registers are read: three to the vernier's lines. */
export const LENGTHS_PPI = 300;
/** Least difference of solid and garment, in linear light, that lines stand out by. */
const LEAST_LIGHT = 0.04;

/** Misregistration, and the narrowest lines and gaps that stand, out of a scan (scanned-ink.ts). */
export function readLengths(
  scan: Scan,
  placement: Placement,
  sheet: Sheet,
  inks: ReadonlyMap<string, ScannedInk>,
): ScanLengths {
  const [a, , , d] = placement;
  const ppi = Math.hypot(a, d) * MM_PER_INCH;
  if (sheet.fields.length === 0) return { readings: [], unread: [] };
  if (ppi < LENGTHS_PPI * 0.98) {
    const unread = `lines, gaps and register need a scan of ${LENGTHS_PPI} ppi; this one has ${ppi.toFixed(0)}`;
    return { readings: [], unread: [unread] };
  }
  const unread: string[] = [];
  const seen = sheet.inks.map((ink, plate) => {
    const of = inks.get(ink);
    if (!of || apart(of) < LEAST_LIGHT) {
      unread.push(`${ink} is too close to the garment for its lines and register to be seen`);
      return undefined;
    }
    return new InkOfScan(scan, placement, sheet, plate, of);
  });
  const readings: Reading[] = [];
  const shifts = sheet.inks.map(() => ({ x: [] as number[], y: [] as number[] }));
  for (const { sample, box } of sheet.fields) {
    if (sample.kind !== "register") continue;
    const plate = sheet.inks.indexOf(sample.ink);
    const [first, own] = [seen[0], seen[plate]].map((one) => one?.shift(box, sample.axis));
    if (first !== undefined) shifts[0]![sample.axis].push(first);
    if (own !== undefined) shifts[plate]![sample.axis].push(own);
    if (first !== undefined && own !== undefined)
      readings.push({ sample, mm: Number((own - first).toFixed(4)), line: 1 });
    else if (seen[0] && seen[plate])
      unread.push(`${sample.ink}: the lines of register ${sample.axis} are not found within ${FARTHEST} mm`);
  }
  for (const field of sheet.fields) {
    const plate = sheet.inks.indexOf(field.sample.ink);
    const at = { x: mean(shifts[plate]!.x), y: mean(shifts[plate]!.y) };
    const mm = field.sample.kind === "register" ? undefined : seen[plate]?.narrowest(field, at);
    if (mm !== undefined) readings.push({ sample: field.sample, mm, line: 1 });
    else if (field.sample.kind !== "register" && seen[plate])
      unread.push(`${field.sample.ink}: no ${field.sample.kind} that runs ${field.sample.way} stands`);
  }
  return { readings, unread };
}

function apart({ bare, solid }: ScannedInk): number {
  return Math.hypot(...solid.map((v, k) => v - bare[k]!));
}

/** Of nothing: 0. */
function mean(values: readonly number[]): number {
  return values.reduce((sum, v) => sum + v, 0) / Math.max(1, values.length);
}
