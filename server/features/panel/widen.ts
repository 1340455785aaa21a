import { isMap, isNode, isPair } from "yaml";
import { writtenEnd } from "../../language/cursor.ts";
import { keyText, rangeOf, type SourceDocument } from "../../language/document.ts";
import { type Change, eolOf, insertEntry, STEP } from "../../language/edit.ts";
import type { Path } from "../../language/finding.ts";

/**
 * Lets an extraction take more: what it took, or `entry` (YAML on one line). An extraction that is nothing but a
 * choice gets one more; any other becomes the first of two, its text and comments left as they are. Undefined where
 * the text cannot be changed safely.
 */
export function widened(source: SourceDocument, path: Path, entry: string): readonly Change[] | undefined {
  const node = nodeAt(source, path);
  const range = rangeOf(source, node);
  if (!isMap(node) || node.anchor !== undefined || !range || node.items.length === 0) return undefined;
  const [only, second] = node.items;
  if (isPair(only) && !second && keyText(only.key) === "any") {
    const list = fieldCount(only.value);
    return list === undefined ? undefined : insertEntry(source, [...path, "any"], list, entry);
  }
  const end = writtenEnd(source, node);
  if (node.flow) {
    return [
      { start: range.start, end: range.start, newText: "{ any: [" },
      { start: end, end, newText: `, ${entry}] }` },
    ];
  }
  return inBlock(source, range.start, end, entry);
}

/** Block style: the keys move to the right under a dash, the new entry follows under another. */
function inBlock(source: SourceDocument, start: number, end: number, entry: string): readonly Change[] {
  const { text } = source;
  const lineStart = text.lastIndexOf("\n", start - 1) + 1;
  const column = start - lineStart;
  const pad = " ".repeat(column);
  const step = " ".repeat(STEP);
  const eol = eolOf(text);
  const changes: Change[] = [{ start, end: start, newText: `any:${eol}${pad}${step}- ` }];
  for (let at = text.indexOf("\n", start); at >= 0 && at < end; at = text.indexOf("\n", at + 1)) {
    // Blank lines stay blank.
    if (!/^[ \t]*\r?\n/.test(text.slice(at + 1)))
      changes.push({ start: at + 1, end: at + 1, newText: step + step });
  }
  const lineEnd = /^[^\r\n]*/.exec(text.slice(end))![0].length + end;
  changes.push({ start: lineEnd, end: lineEnd, newText: `${eol}${pad}${step}- ${entry}` });
  return changes;
}

function nodeAt(source: SourceDocument, path: Path): unknown {
  let node: unknown = source.yaml.contents;
  for (const step of path) {
    if (!isMap(node)) return undefined;
    const pair = node.items.find((item) => isPair(item) && keyText(item.key) === step);
    node = isPair(pair) ? pair.value : undefined;
  }
  return isNode(node) ? node : undefined;
}

function fieldCount(list: unknown): number | undefined {
  const items = (list as { items?: unknown } | null)?.items;
  return Array.isArray(items) ? items.length : undefined;
}
