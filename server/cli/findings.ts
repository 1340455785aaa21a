import { formatPath } from "../language/finding.ts";
import type { PlacedFinding } from "../language/placed.ts";
import { printable } from "../language/printable.ts";

/** `file:line:column: level: path: message [rule]`, the form that editors and terminals make clickable. */
export function findingLine({ file, from, level, path, message, rule, allowed }: PlacedFinding): string {
  const where = path.length > 0 ? `${formatPath(path)}: ` : "";
  const said = allowed === undefined ? level : `allowed ${level}`;
  const reason = allowed === undefined ? "" : ` (allowed: ${allowed})`;
  return `${printable(`${file}:${from.line}:${from.column}: ${said}: ${where}${message}${reason} [${rule}]`)}\n`;
}

/** The same for machines; lines and columns from 1, offsets in UTF-16 units. */
export function findingJson(finding: PlacedFinding): object {
  const { file, rule, level, path, message, range, from, to, allowed } = finding;
  return {
    file,
    rule,
    level,
    path: formatPath(path),
    message,
    ...(allowed === undefined ? {} : { allowed }),
    start: { ...from, offset: range.start },
    end: { ...to, offset: range.end },
  };
}
