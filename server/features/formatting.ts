import { isDeepStrictEqual } from "node:util";
import type { TextEdit } from "vscode-languageserver-types";
import { parseDocument as parseYaml } from "yaml";
import { formattedText } from "./formatter.ts";
import { type Model, toRange } from "./model.ts";

/** What an editor says about its indents. */
export interface FormatOptions {
  readonly tabSize: number;
}

/**
 * The edit that lays a file out anew: indents, single blanks, no blanks at line ends, at most one blank line in a
 * row. Everything that is written stays, each comment on its line. Nothing where the file has YAML errors, or where
 * nothing changes.
 */
export function formatting({ source }: Model, { tabSize }: FormatOptions): TextEdit[] {
  const { text, yaml } = source;
  if (yaml.errors.length > 0 || source.value === undefined) return [];
  const mark = text.startsWith("\ufeff") ? "\ufeff" : "";
  const eol = /\r?\n/.exec(text)?.[0] ?? "\n";
  const lines = text.slice(mark.length).replaceAll("\r\n", "\n");
  const step = Math.min(8, Math.max(1, Math.round(tabSize) || 2));
  const result = formattedText(lines, step);
  // What reads differently afterwards is left alone, whatever the reason.
  if (result === undefined || !readsAlike(lines, result)) return [];
  return smallestEdit(source, mark + result.replaceAll("\n", eol));
}

function readsAlike(before: string, after: string): boolean {
  if (before === after) return true;
  const [old, now] = [parseYaml(before, QUIET), parseYaml(after, QUIET)];
  return now.errors.length === 0 && isDeepStrictEqual(old.toJS(READ), now.toJS(READ));
}

const QUIET = { version: "1.2", logLevel: "error" } as const;
const READ = { maxAliasCount: 10_000 };

/** One edit of whole lines, from the first that changes to the last. */
function smallestEdit(source: Model["source"], now: string): TextEdit[] {
  const { text } = source;
  if (now === text) return [];
  const shorter = Math.min(text.length, now.length);
  let head = 0;
  while (head < shorter && text[head] === now[head]) head++;
  head = head === 0 ? 0 : text.lastIndexOf("\n", head - 1) + 1;
  let tail = 0;
  while (tail < shorter - head && text[text.length - 1 - tail] === now[now.length - 1 - tail]) tail++;
  // Both ends of the kept tail start a line.
  const line = text.slice(text.length - tail).indexOf("\n");
  tail = line < 0 ? 0 : tail - line - 1;
  const range = toRange(source, { start: head, end: text.length - tail });
  return [{ range, newText: now.slice(head, now.length - tail) }];
}
