import { formatPath } from "../language/finding.ts";
import type { PlacedFinding } from "../language/placed.ts";
import { printableLines } from "../language/printable.ts";

const COMMANDS = { error: "error", warning: "warning", note: "notice" } as const;

/**
 * A finding as a workflow command of GitHub Actions, which shows it at its line. What a comment allows needs nobody's
 * look.
 */
export function annotation({ file, from, to, level, path, message, rule, allowed }: PlacedFinding): string {
  if (allowed !== undefined) return "";
  const where = path.length > 0 ? `${formatPath(path)}: ` : "";
  const properties = {
    file,
    line: from.line,
    endLine: to.line,
    // Columns are taken within one line only.
    ...(from.line === to.line ? { col: from.column, endColumn: to.column } : {}),
    title: rule,
  };
  const list = Object.entries(properties).map(([key, value]) => `${key}=${property(String(value))}`);
  return `::${COMMANDS[level]} ${list.join(",")}::${data(where + message)}\n`;
}

/** The runner's own escapes: without them a text could end its command and begin another. */
function data(text: string): string {
  return printableLines(text.replace(/[%\r\n]/g, encodeURIComponent));
}

function property(text: string): string {
  return printableLines(text.replace(/[%\r\n:,]/g, encodeURIComponent));
}
