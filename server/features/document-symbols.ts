import type { DocumentSymbol, SymbolInformation, SymbolKind } from "vscode-languageserver-types";
import { isMap, isNode, isPair, isScalar, isSeq, type Node } from "yaml";
import { writtenEnd } from "../language/cursor.ts";
import { keyText, rangeOf } from "../language/document.ts";
import { schemaAt } from "../language/schema.ts";
import { type Model, type OpenDocument, toRange } from "./model.ts";

// SymbolKind of the protocol.
const NAMESPACE: SymbolKind = 3;
const PROPERTY: SymbolKind = 7;
const CONSTANT: SymbolKind = 14;
const OBJECT: SymbolKind = 19;

/** A list of thousands of entries is no outline. */
const MOST = 5000;

/** The outline: sections, and the named things or entries in them. */
export function documentSymbols(model: Model): DocumentSymbol[] {
  let left = MOST;
  return inside(model.source.yaml.contents, 0);

  function inside(node: unknown, depth: number, section = ""): DocumentSymbol[] {
    if (depth > 1) return [];
    if (isMap(node) && (depth === 0 || isNamed(section))) {
      return node.items.flatMap((pair) => {
        const key = isPair(pair) && isNode(pair.key) ? pair.key : undefined;
        return key ? symbol(keyText(key), key, isNode(pair.value) ? pair.value : undefined, depth) : [];
      });
    }
    if (isSeq(node))
      return node.items.flatMap((item, i) =>
        isNode(item) ? symbol(entryName(item, i), item, item, depth) : [],
      );
    return [];
  }

  /** Whether the keys of a section are names: inks, plates, setups. */
  function isNamed(section: string): boolean {
    return typeof schemaAt(model.source.kind, [section])?.additionalProperties === "object";
  }

  function symbol(name: string, key: Node, value: Node | undefined, depth: number): DocumentSymbol[] {
    const at = rangeOf(model.source, key);
    if (!at || left-- <= 0) return [];
    const end = Math.max(at.end, writtenEnd(model.source, value));
    const children = inside(value, depth + 1, name);
    return [
      {
        name: name || "(nameless)",
        kind: depth > 0 ? OBJECT : children.length > 0 ? NAMESPACE : PROPERTY,
        detail: depth === 0 && isScalar(value) ? String(value.value ?? "") : "",
        range: toRange(model.source, { start: at.start, end }),
        selectionRange: toRange(model.source, at),
        children,
      },
    ];
  }
}

/** `fold: rose, into: ember` for an entry of a list. */
function entryName(item: Node, index: number): string {
  if (isScalar(item)) return String(item.value);
  if (!isMap(item)) return `[${index}]`;
  const words = item.items.flatMap((pair) =>
    isPair(pair) && isScalar(pair.value) ? [`${keyText(pair.key)}: ${pair.value.value}`] : [],
  );
  return words.join(", ") || `[${index}]`;
}

/** Names defined anywhere in the workspace that contain the query's letters in their order. */
export function workspaceSymbols(documents: Iterable<OpenDocument>, query: string): SymbolInformation[] {
  const wanted = query.toLowerCase();
  const found: SymbolInformation[] = [];
  for (const { uri, source, symbols } of documents) {
    for (const { kind, name, range } of symbols.definitions) {
      if (!containsInOrder(name.toLowerCase(), wanted)) continue;
      if (found.length === MOST) return found;
      found.push({
        name,
        kind: CONSTANT,
        containerName: kind,
        location: { uri, range: toRange(source, range) },
      });
    }
  }
  return found;
}

function containsInOrder(text: string, letters: string): boolean {
  let from = 0;
  for (const letter of letters) {
    from = text.indexOf(letter, from) + 1;
    if (from === 0) return false;
  }
  return true;
}
