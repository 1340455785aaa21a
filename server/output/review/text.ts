import { lessonText } from "../../language/lessons.ts";
import { printable } from "../../language/printable.ts";
import {
  areaText,
  arrow,
  coverageText,
  deltaText,
  findingText,
  platesToTell,
  sentences,
  verdictText,
  visibleText,
} from "./lines.ts";
import type { Review } from "./review.ts";

/** The review for a terminal. */
export function reviewText(review: Review): string {
  const { title, before, after, figures, findings, lessons } = review;
  const lines: string[] = [
    `${title === "" ? "" : `${title}: `}${before.name} → ${after.name}`,
    verdictText(review),
  ];
  const block = (heading: string, rows: readonly string[]) => {
    if (rows.length > 0) lines.push("", heading, ...rows.map((row) => `  ${row}`));
  };
  const { prints, beside } = sentences(review);
  if (prints.length > 0) lines.push("", ...prints.map((line) => `  ${line}`));
  block("beside the print", beside);
  block(
    "lessons of test prints",
    lessons.map((lesson) => `${lesson.about}: ${lessonText(lesson)}`),
  );
  if (figures && review.verdict !== "same") {
    block(
      "plates",
      table(
        ["plate", "coverage", "ink"],
        platesToTell(review).map((plate) => [
          plate.name,
          arrow(coverageText(plate.before?.coverage), coverageText(plate.after?.coverage)),
          arrow(areaText(plate.before?.inkCm2), areaText(plate.after?.inkCm2)),
        ]),
      ),
    );
    block(
      "garments, ΔE00 against the artwork",
      table(
        ["garment", "mean", "95 % within", "visibly changed"],
        figures.garments.map((one) => [
          `${one.garment} (${one.setup})`,
          arrow(deltaText(one.before?.mean), deltaText(one.after?.mean)),
          arrow(deltaText(one.before?.p95), deltaText(one.after?.p95)),
          visibleText(one),
        ]),
      ),
    );
    lines.push("", `screens ${arrow(String(figures.screens.before), String(figures.screens.after))}`);
  }
  block("findings that are new", findings.come.map(findingText));
  block("findings that are gone", findings.gone.map(findingText));
  return `${lines.map(printable).join("\n")}\n`;
}

function table(head: readonly string[], rows: readonly (readonly string[])[]): string[] {
  if (rows.length === 0) return [];
  const all = [head, ...rows];
  const widths = head.map((_, column) => Math.max(...all.map((row) => row[column]!.length)));
  return all.map((row) =>
    row
      .map((cell, column) => cell.padEnd(widths[column]!))
      .join("  ")
      .trimEnd(),
  );
}
