import { sentence } from "../../language/changes/changes.ts";
import { formatPath } from "../../language/finding.ts";
import { mostly } from "../../language/place-words.ts";
import { percentage } from "../../language/words.ts";
import type { GarmentComparison, PlateComparison } from "../../render/comparison.ts";
import type { PlacedFinding } from "./findings.ts";
import { differs, type Review } from "./review.ts";

/** The words and figures that all forms of a review share, as plain text. */

export function verdictText({ verdict, said, findings, after }: Review): string {
  if (verdict === "same") return "no change to the print";
  const count = said.filter(({ prints }) => prints).length;
  const changes =
    count === 0 ? "no change to the print" : `${count} ${count === 1 ? "change" : "changes"} to the print`;
  if (verdict === "changed") return changes;
  const errors = findings.come.filter(({ level }) => level === "error").length;
  if (!after.made) return "plates cannot be made";
  return `${changes}, ${errors} new ${errors === 1 ? "error" : "errors"}`;
}

export function sentences(review: Review): { prints: string[]; beside: string[] } {
  const of = (prints: boolean) => review.said.filter((one) => one.prints === prints).map(sentence);
  return { prints: of(true), beside: of(false) };
}

/** Plates with anything to tell: those that differ, came or went. */
export function platesToTell({ figures }: Review): PlateComparison[] {
  return (figures?.plates ?? []).filter((plate) => differs(plate) || !plate.before || !plate.after);
}

export const ABSENT = "–";

export function coverageText(share: number | undefined): string {
  return share === undefined ? ABSENT : percentage(share, 1);
}

export function areaText(cm2: number | undefined): string {
  return cm2 === undefined ? ABSENT : `${cm2.toFixed(1)} cm²`;
}

export function deltaText(value: number | undefined): string {
  return value === undefined ? ABSENT : value.toFixed(2);
}

/** Two figures, or one where they read the same. */
export function arrow(before: string, after: string): string {
  return before === after ? after : `${before} → ${after}`;
}

export function visibleText({ visibleCm2, where }: GarmentComparison): string {
  if (visibleCm2 === undefined) return ABSENT;
  if (visibleCm2 === 0) return "nothing";
  return `${areaText(visibleCm2)}, ${mostly(where)}`;
}

export function findingText({ level, path, message, rule }: PlacedFinding): string {
  const where = path.length > 0 ? `${formatPath(path)}: ` : "";
  return `${level}: ${where}${message} [${rule}]`;
}
