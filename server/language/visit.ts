import { isAlias, isMap, isNode, isPair, isSeq, type Node } from "yaml";
import { keyText, type SourceDocument } from "./document.ts";
import type { Path } from "./finding.ts";

/** Called for every value of the document, keys in front; `node` is undefined where nothing is written yet. */
export type Visitor = (path: Path, key: Node | undefined, node: Node | undefined) => void;

/** Visits the document as it is written, outer parts first. Aliases are visited, not followed. */
export function visitDocument(doc: SourceDocument, visitor: Visitor): void {
  visit(doc.yaml.contents ?? undefined, [], undefined, visitor);
}

function visit(node: Node | undefined, path: Path, key: Node | undefined, visitor: Visitor): void {
  visitor(path, key, node);
  if (isAlias(node)) return;
  if (isMap(node)) {
    for (const pair of node.items) {
      if (!isPair(pair)) continue;
      const k = isNode(pair.key) ? pair.key : undefined;
      visit(isNode(pair.value) ? pair.value : undefined, [...path, keyText(pair.key)], k, visitor);
    }
  } else if (isSeq(node)) {
    for (const [i, item] of node.items.entries())
      visit(isNode(item) ? item : undefined, [...path, i], undefined, visitor);
  }
}
