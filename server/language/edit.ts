import { isCollection, isMap, isPair, isScalar, isSeq, type YAMLMap, type YAMLSeq } from "yaml";
import { writtenEnd } from "./cursor.ts";
import { keyText, rangeOf, type SourceDocument } from "./document.ts";
import type { Path, TextRange } from "./finding.ts";

/** Characters of a document and what is to stand in their place. */
export interface Change extends TextRange {
  readonly newText: string;
}

/** Further lines of a new block start this far right of the line that holds it. */
export const STEP = 2;

/**
 * Edits of a document's text at places of its structure, in block style as in flow style. Comments on lines of
 * their own stay; one behind a part goes with it. Undefined where the text cannot be changed safely: behind an
 * alias, which stands for other places too, at an anchor, and where the place does not exist.
 */
type Edit = readonly Change[] | undefined;

/**
 * Adds a key to the block at `path`: behind the last of the keys that stand before it in `order`, else in front.
 * `value` is YAML on one line, or starts with a line break and is indented by `STEP` from the key.
 */
export function insertKey(
  doc: SourceDocument,
  path: Path,
  key: string,
  value: string,
  order: readonly string[] = [],
): Edit {
  const block = collectionAt(doc, path);
  if (!isMap(block)) return undefined;
  const earlier = order.slice(0, Math.max(0, order.indexOf(key)));
  const before = order.includes(key)
    ? block.items.findLastIndex(({ key: k }) => earlier.includes(keyText(k)))
    : block.items.length - 1;
  if (block.flow) return insertInFlow(doc, block, before + 1, `${key}: ${value}`);
  const parts = partsOf(doc, block);
  const first = parts?.[0];
  if (!parts || !first) return undefined;
  const column = columnOf(doc.text, first.start);
  const eol = eolOf(doc.text);
  const line = `${key}:${value.startsWith("\n") ? "" : " "}${value}`.replaceAll(
    "\n",
    eol + " ".repeat(column),
  );
  if (before < 0) return [{ start: first.start, end: first.start, newText: line + eol + " ".repeat(column) }];
  const at = lineEnd(doc.text, parts[before]!.end);
  // Sections with a blank line between them keep it.
  const apart = path.length === 0 && /^\r?\n[ \t]*\r?\n/.test(doc.text.slice(at)) ? eol : "";
  return [{ start: at, end: at, newText: apart + eol + " ".repeat(column) + line }];
}

/** Adds an entry to the list at `path`, so that it gets the given index. `text` is YAML on one line. */
export function insertEntry(doc: SourceDocument, path: Path, index: number, text: string): Edit {
  const list = collectionAt(doc, path);
  if (!isSeq(list)) return undefined;
  if (list.flow) return insertInFlow(doc, list, index, text);
  const parts = partsOf(doc, list);
  const [first] = parts ?? [];
  if (!parts || !first) return undefined;
  const indent = " ".repeat(columnOf(doc.text, first.start));
  const eol = eolOf(doc.text);
  const before = parts[Math.min(index, parts.length) - 1];
  if (!before) return [{ start: first.start, end: first.start, newText: `- ${text}${eol}${indent}` }];
  const at = lineEnd(doc.text, before.end);
  return [{ start: at, end: at, newText: `${eol}${indent}- ${text}` }];
}

/** Takes out an entry of a list, or a key with its value. What would be left empty goes too. */
export function removeAt(doc: SourceDocument, path: Path): Edit {
  const outer = path.slice(0, -1);
  const block = collectionAt(doc, outer);
  const index = indexOf(block, path.at(-1));
  if (!block || index < 0) return undefined;
  if (block.items.length === 1 && outer.length > 0) return removeAt(doc, outer);
  const parts = partsOf(doc, block);
  const part = parts?.[index];
  if (!parts || !part || holdsAnchor(doc.text.slice(part.start, part.end))) return undefined;
  return block.flow ? removeFromFlow(doc.text, parts, index) : removeLines(doc.text, parts, index);
}

/** Puts the entries of a list into another order: `order` names them by their present indexes. */
export function reorderEntries(doc: SourceDocument, path: Path, order: readonly number[]): Edit {
  const list = collectionAt(doc, path);
  const parts = isSeq(list) ? partsOf(doc, list) : undefined;
  if (!isSeq(list) || !parts || parts.length !== order.length) return undefined;
  if (list.items.some((item) => !isScalar(item) || item.anchor !== undefined)) return undefined;
  // In a block, a comment behind an entry moves with it; in brackets a comment belongs to its line.
  const slots = list.flow ? parts : parts.map(({ start, end }) => ({ start, end: lineEnd(doc.text, end) }));
  return order.flatMap((from, to): Change[] => {
    const { start, end } = slots[from]!;
    return from === to ? [] : [{ ...slots[to]!, newText: doc.text.slice(start, end) }];
  });
}

/** Puts another scalar in place of the one at `path`. */
export function replaceScalar(doc: SourceDocument, path: Path, newText: string): Edit {
  const block = collectionAt(doc, path.slice(0, -1));
  const item = block?.items[indexOf(block, path.at(-1))];
  const node = isPair(item) ? item.value : item;
  if (!isScalar(node) || node.source === "") return undefined;
  const range = rangeOf(doc, node);
  return range && [{ ...range, newText }];
}

/** The text with all changes made; they must not overlap. */
export function applyChanges(text: string, changes: readonly Change[]): string {
  return [...changes]
    .sort((a, b) => b.start - a.start || b.end - a.end)
    .reduce((now, { start, end, newText }) => now.slice(0, start) + newText + now.slice(end), text);
}

/** An alias elsewhere may need it. */
function holdsAnchor(text: string): boolean {
  return /(?:^|[\s,[{])&[^\s,[\]{}]/.test(text);
}

type Collection = YAMLMap | YAMLSeq;

/** The map or list that is written at `path`. */
function collectionAt(doc: SourceDocument, path: Path): Collection | undefined {
  let node: unknown = doc.yaml.contents;
  for (const step of path) {
    if (!isCollection(node)) return undefined;
    const item: unknown = node.items[indexOf(node as Collection, step)];
    node = isPair(item) ? item.value : item;
  }
  return isMap(node) || isSeq(node) ? node : undefined;
}

function indexOf(block: Collection | undefined, step: string | number | undefined): number {
  if (isSeq(block)) return typeof step === "number" && step < block.items.length ? step : -1;
  return isMap(block) ? block.items.findIndex(({ key }) => keyText(key) === step) : -1;
}

/**
 * The characters of each entry, from its key or its dash to the last character of its value; undefined where an
 * entry has something else in front, such as an anchor.
 */
function partsOf(doc: SourceDocument, block: Collection): readonly TextRange[] | undefined {
  const known = knownParts.get(doc) ?? new Map<Collection, readonly TextRange[] | undefined>();
  knownParts.set(doc, known);
  if (!known.has(block)) known.set(block, findParts(doc, block));
  return known.get(block);
}

/** A thousand findings in one list would have it cut up a thousand times. */
const knownParts = new WeakMap<SourceDocument, Map<Collection, readonly TextRange[] | undefined>>();

function findParts(doc: SourceDocument, block: Collection): TextRange[] | undefined {
  const { text } = doc;
  let from = rangeOf(doc, block)?.start ?? 0;
  if (block.flow) from++;
  const parts: TextRange[] = [];
  for (const item of block.items) {
    const own = startOf(doc, item);
    if (own === undefined) return undefined;
    const between = text.slice(from, own).replace(/#[^\n]*/g, (comment) => " ".repeat(comment.length));
    const lead = block.flow || isMap(block) ? "" : "-";
    const at = lead ? between.lastIndexOf(lead) : between.length;
    if (!/^[\s,]*(?:-\s*)?$/.test(between) || at < 0) return undefined;
    const end = writtenEnd(doc, item);
    parts.push({ start: from + at, end });
    from = end;
  }
  return parts;
}

function startOf(doc: SourceDocument, item: unknown): number | undefined {
  const node = isPair(item) ? item.key : item;
  const inner = isCollection(node) && !node.flow ? startOf(doc, node.items[0]) : undefined;
  return inner ?? rangeOf(doc, node)?.start;
}

function insertInFlow(doc: SourceDocument, block: Collection, index: number, entry: string): Edit {
  const { text } = doc;
  const parts = partsOf(doc, block);
  const range = rangeOf(doc, block);
  if (!parts || !range) return undefined;
  const [first] = parts;
  if (!first) {
    const open = range.start;
    const pad = isMap(block) ? " " : "";
    const end = open + 1 + /^[ \t]*/.exec(text.slice(open + 1))![0].length;
    const tail = /[\]}]/.test(text[end] ?? "") ? pad : " ";
    return [{ start: open + 1, end, newText: pad + entry + tail }];
  }
  const before = parts[Math.min(index, parts.length) - 1];
  const own = startsLine(text, (before ?? first).start);
  const eol = eolOf(text) + " ".repeat(columnOf(text, (before ?? first).start));
  if (!before) {
    const newText = `${entry},${own ? eol : " "}`;
    return [{ start: first.start, end: first.start, newText }];
  }
  const end = lineEnd(text, before.end);
  const rest = /^(?:[ \t]*(,))?([ \t]*(?:#.*)?)$/.exec(text.slice(before.end, end));
  // One entry a line: the new one gets a line too, behind the comment of the one before.
  if (own && rest && (rest[1] || before === parts.at(-1))) {
    return [{ start: before.end, end, newText: `,${rest[2]}${eol}${entry}${rest[1] ?? ""}` }];
  }
  return [{ start: before.end, end: before.end, newText: `, ${entry}` }];
}

function removeFromFlow(text: string, parts: readonly TextRange[], index: number): Edit {
  const { start, end } = parts[index]!;
  const before = parts[index - 1];
  const next = parts[index + 1];
  const rest = /^[ \t]*,?[ \t]*(?:#.*)?$/.exec(text.slice(end, lineEnd(text, end)));
  if (rest && startsLine(text, start))
    return [{ start: lineStart(text, start), end: nextLine(text, end), newText: "" }];
  if (before && /^[ \t]*,[ \t]*$/.test(text.slice(before.end, start)))
    return [{ start: before.end, end, newText: "" }];
  if (next && /^[ \t]*,[ \t]*$/.test(text.slice(end, next.start)))
    return [{ start, end: next.start, newText: "" }];
  const comma = next ? (/^\s*,/.exec(text.slice(end))?.[0].length ?? 0) : 0;
  return [{ start, end: end + comma, newText: "" }];
}

function removeLines(text: string, parts: readonly TextRange[], index: number): Edit {
  const { start, end } = parts[index]!;
  if (!startsLine(text, start)) {
    // The first key of an entry stands behind the entry's dash.
    const next = parts[index + 1];
    return next && text[start] !== "-" ? [{ start, end: next.start, newText: "" }] : undefined;
  }
  const from = lineStart(text, start);
  let to = nextLine(text, end);
  // Of a blank line before and one behind, one is enough.
  const blank = /^[ \t]*\r?\n/.exec(text.slice(to));
  if (blank && (from === 0 || /\n[ \t]*\r?\n$/.test(text.slice(0, from)))) to += blank[0].length;
  const atEnd = to === text.length && !text.endsWith("\n") && from > 0;
  return [{ start: atEnd ? from - (text[from - 2] === "\r" ? 2 : 1) : from, end: to, newText: "" }];
}

/** The line break that a text uses. */
export function eolOf(text: string): string {
  return /\r?\n/.exec(text)?.[0] ?? "\n";
}

function startsLine(text: string, offset: number): boolean {
  return /^[ \t]*$/.test(text.slice(lineStart(text, offset), offset));
}

function columnOf(text: string, offset: number): number {
  return (
    offset - lineStart(text, offset) - (text.startsWith("\ufeff") && lineStart(text, offset) === 0 ? 1 : 0)
  );
}

function lineStart(text: string, offset: number): number {
  return offset === 0 ? 0 : text.lastIndexOf("\n", offset - 1) + 1;
}

/** Where the line's break starts. */
function lineEnd(text: string, offset: number): number {
  const newline = text.indexOf("\n", offset);
  if (newline < 0) return text.length;
  return newline > offset && text[newline - 1] === "\r" ? newline - 1 : newline;
}

function nextLine(text: string, offset: number): number {
  const newline = text.indexOf("\n", offset);
  return newline < 0 ? text.length : newline + 1;
}
