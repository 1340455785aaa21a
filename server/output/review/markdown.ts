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

/** The review as GitHub-flavoured Markdown, for a comment on a pull request. */
export function reviewMarkdown(review: Review): string {
  const { title, before, after, figures, findings, lessons } = review;
  const { prints, beside } = sentences(review);
  const parts = [
    `### ${plain(title || after.name)}: ${verdictText(review)}`,
    `${plain(before.name)} → ${plain(after.name)}`,
    bullets(prints),
  ];
  if (figures && review.verdict !== "same") {
    parts.push(
      table(
        ["plate", "coverage", "ink"],
        platesToTell(review).map(({ name, before: was, after: is }) => [
          name,
          arrow(coverageText(was?.coverage), coverageText(is?.coverage)),
          arrow(areaText(was?.inkCm2), areaText(is?.inkCm2)),
        ]),
      ),
      table(
        ["garment", "mean ΔE00", "95 % within", "visibly changed"],
        figures.garments.map((one) => [
          `${one.garment} (${one.setup})`,
          arrow(deltaText(one.before?.mean), deltaText(one.after?.mean)),
          arrow(deltaText(one.before?.p95), deltaText(one.after?.p95)),
          visibleText(one),
        ]),
      ),
      `Screens ${arrow(String(figures.screens.before), String(figures.screens.after))}.`,
    );
  }
  parts.push(
    headed("New findings", findings.come.map(findingText)),
    headed("Findings that are gone", findings.gone.map(findingText)),
    headed(
      "Lessons of test prints",
      lessons.map((lesson) => `${lesson.about}: ${lessonText(lesson)}`),
    ),
    headed("Beside the print", beside),
  );
  return `${parts.filter((part) => part !== "").join("\n\n")}\n`;
}

function headed(heading: string, lines: readonly string[]): string {
  return lines.length === 0 ? "" : `**${heading}**\n\n${bullets(lines)}`;
}

function bullets(lines: readonly string[]): string {
  return lines.map((line) => `- ${plain(line)}`).join("\n");
}

function table(head: readonly string[], rows: readonly (readonly string[])[]): string {
  if (rows.length === 0) return "";
  const row = (cells: readonly string[]) => `| ${cells.map(plain).join(" | ")} |`;
  return [row(head), row(head.map(() => "---")), ...rows.map(row)].join("\n");
}

/** What breaks a word in two for a reader of the source, and shows nothing. */
const GAP = "<!-- -->";

/**
 * Text that stays text: no emphasis, no HTML, no link, and nobody is called by their name. Names and reasons come from
 * a recipe that anybody may have written.
 */
function plain(text: string): string {
  if (text === "---") return text;
  return printable(text).replace(/[\\`*_{}[\]<>|~!&$@#]|www(?=\.)|:(?=\/\/)/gi, (sign) => {
    if (/[@#:w]/i.test(sign)) return sign + GAP;
    return /[<>&]/.test(sign) ? `&#${sign.charCodeAt(0)};` : `\\${sign}`;
  });
}
