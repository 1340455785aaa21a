import { isCollection, isMap, isNode, isPair, isSeq, type Node } from "yaml";
import { keyText, rangeOf, type SourceDocument } from "./document.ts";
import type { Path, TextRange } from "./finding.ts";

/** A part of the document that holds a given offset: a key with its value, or an entry of a list. */
export interface Place {
  readonly path: Path;
  /** Undefined for entries of lists and for the whole document. */
  readonly key: TextRange | undefined;
  /** Undefined where nothing is written yet. */
  readonly value: TextRange | undefined;
  readonly node: Node | undefined;
  /** Where in it the offset lies. */
  readonly on: "key" | "value" | "between";
}

/** The places that hold `offset`, from the whole document to the innermost. Aliases are places, not followed. */
export function placesAt(doc: SourceDocument, offset: number): Place[] {
  const { contents } = doc.yaml;
  const places: Place[] = [
    {
      path: [],
      key: undefined,
      value: written(doc, contents),
      node: contents ?? undefined,
      on: "value",
    },
  ];
  for (;;) {
    const { node, path } = places.at(-1)!;
    const inner = isMap(node)
      ? inMap(doc, node.items, path, offset)
      : isSeq(node)
        ? inList(doc, node.items, path, offset)
        : undefined;
    if (!inner) return places;
    places.push(inner);
    if (inner.on !== "value") return places;
  }
}

/** The innermost place that holds `offset`. */
export function placeAt(doc: SourceDocument, offset: number): Place {
  return placesAt(doc, offset).at(-1)!;
}

function inMap(
  doc: SourceDocument,
  items: readonly unknown[],
  path: Path,
  offset: number,
): Place | undefined {
  for (const pair of items) {
    if (!isPair(pair)) continue;
    const node = isNode(pair.value) ? pair.value : undefined;
    const key = isNode(pair.key) ? written(doc, pair.key) : undefined;
    const value = written(doc, node);
    const start = key?.start ?? value?.start ?? Number.POSITIVE_INFINITY;
    const end = Math.max(key?.end ?? 0, value?.end ?? 0);
    if (offset < start || offset > end) continue;
    const on = key && offset <= key.end ? "key" : value && offset >= value.start ? "value" : "between";
    return { path: [...path, keyText(pair.key)], key, value, node, on };
  }
  return undefined;
}

function inList(
  doc: SourceDocument,
  items: readonly unknown[],
  path: Path,
  offset: number,
): Place | undefined {
  for (const [i, item] of items.entries()) {
    const node = isNode(item) ? item : undefined;
    const value = written(doc, node);
    if (value && offset >= value.start && offset <= value.end) {
      return { path: [...path, i], key: undefined, value, node, on: "value" };
    }
  }
  return undefined;
}

/** A node's own characters; comments and blank space behind it are left out. */
function written(doc: SourceDocument, node: Node | null | undefined): TextRange | undefined {
  const range = rangeOf(doc, node);
  return range && { start: range.start, end: writtenEnd(doc, node) };
}

/**
 * The end of the last written character of a node or of a key with its value: a block's range in the library runs
 * on into the blank lines behind it.
 */
export function writtenEnd(doc: SourceDocument, part: unknown): number {
  const { text } = doc;
  if (isPair(part)) {
    const key = writtenEnd(doc, part.key);
    const colon = key + (/^\s*:/.exec(text.slice(key, key + 80))?.[0].length ?? 0);
    return Math.max(colon, writtenEnd(doc, part.value));
  }
  const range = rangeOf(doc, part);
  if (!range) return 0;
  const last: unknown = isCollection(part) && !part.flow ? part.items.at(-1) : undefined;
  if (last) return writtenEnd(doc, last);
  return range.start + text.slice(range.start, range.end).trimEnd().length;
}
