import { isMap, isNode, isPair, isSeq, type Node } from "yaml";
import { keyText, type SourceDocument } from "./document.ts";
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
    { path: [], key: undefined, value: rangeOf(contents), node: contents ?? undefined, on: "value" },
  ];
  for (;;) {
    const { node, path } = places.at(-1)!;
    const inner = isMap(node)
      ? inMap(node.items, path, offset)
      : isSeq(node)
        ? inList(node.items, path, offset)
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

function inMap(items: readonly unknown[], path: Path, offset: number): Place | undefined {
  for (const pair of items) {
    if (!isPair(pair)) continue;
    const node = isNode(pair.value) ? pair.value : undefined;
    const key = isNode(pair.key) ? rangeOf(pair.key) : undefined;
    const value = rangeOf(node);
    const start = key?.start ?? value?.start ?? Number.POSITIVE_INFINITY;
    const end = Math.max(key?.end ?? 0, value?.end ?? 0);
    if (offset < start || offset > end) continue;
    const on = key && offset <= key.end ? "key" : value && offset >= value.start ? "value" : "between";
    return { path: [...path, keyText(pair.key)], key, value, node, on };
  }
  return undefined;
}

function inList(items: readonly unknown[], path: Path, offset: number): Place | undefined {
  for (const [i, item] of items.entries()) {
    const node = isNode(item) ? item : undefined;
    const value = rangeOf(node);
    if (value && offset >= value.start && offset <= value.end) {
      return { path: [...path, i], key: undefined, value, node, on: "value" };
    }
  }
  return undefined;
}

/** A node's own characters; comments and blank space behind it are left out. */
function rangeOf(node: Node | null | undefined): TextRange | undefined {
  return node?.range ? { start: node.range[0], end: node.range[1] } : undefined;
}
