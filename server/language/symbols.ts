import { isMap, isPair, isScalar, isSeq, type Node } from "yaml";
import { keyText, rangeOf, resolveAlias, type SourceDocument } from "./document.ts";
import type { Path, TextRange } from "./finding.ts";

export const SYMBOL_KINDS = ["plate", "ink", "garment", "setup", "mesh", "print", "size"] as const;
export type SymbolKind = (typeof SYMBOL_KINDS)[number];

/** A name where it is defined. */
export interface Definition {
  readonly kind: SymbolKind;
  readonly name: string;
  readonly path: Path;
  readonly range: TextRange;
}

/** A name where it is used. */
export interface Reference {
  readonly kind: SymbolKind;
  readonly name: string;
  readonly path: Path;
  readonly range: TextRange;
}

export interface Symbols {
  readonly definitions: readonly Definition[];
  readonly references: readonly Reference[];
}

/** What an `order` may hold besides plates. */
export const PRESS_STEPS: readonly string[] = ["flash", "cool-down"];

/** Where names are defined: the keys under these. */
const DEFINED_UNDER: ReadonlyMap<unknown, SymbolKind> = new Map([
  ["plates", "plate"],
  ["inks", "ink"],
  ["garments", "garment"],
  ["setups", "setup"],
  ["meshes", "mesh"],
  ["prints", "print"],
  ["sizes", "size"],
]);

/** Where names are used; `*` stands for any key or index. */
const USED_AT: readonly (readonly [pattern: readonly string[], kind: SymbolKind])[] = [
  [["plates", "*", "ink"], "ink"],
  [["plates", "*", "mesh"], "mesh"],
  [["usual-mesh", "*"], "mesh"],
  [["adjust", "*", "plate"], "plate"],
  [["merges", "*", "fold"], "plate"],
  [["merges", "*", "into"], "plate"],
  [["knockouts", "*", "from"], "plate"],
  [["knockouts", "*", "where"], "plate"],
  [["traps", "*", "plate"], "plate"],
  [["traps", "*", "under"], "plate"],
  [["solve", "garment"], "garment"],
  [["process", "cyan"], "plate"],
  [["process", "magenta"], "plate"],
  [["process", "yellow"], "plate"],
  [["process", "black"], "plate"],
  [["setups", "*", "garments", "*"], "garment"],
  [["setups", "*", "order", "*"], "plate"],
  [["lines", "*", "garment"], "garment"],
  [["lines", "*", "prints", "*"], "print"],
];

/** Where names are used as keys. */
const KEYS_USED_AT: readonly (readonly [pattern: readonly string[], kind: SymbolKind])[] = [
  [["lines", "*", "sizes", "*"], "size"],
  [["solve", "garments", "*"], "garment"],
];

/** The kind of name that belongs at a place, if one does. */
export function nameKindAt(path: Path): SymbolKind | undefined {
  return USED_AT.find(([pattern]) => matches(path, pattern))?.[1];
}

/** The kind of name that the keys of a block are, if they are names that are defined elsewhere. */
export function keyKindAt(path: Path): SymbolKind | undefined {
  return KEYS_USED_AT.find(([pattern]) => matches([...path, ""], pattern))?.[1];
}

/** Every name that the document defines or uses. Works on half-written documents: what is there is found. */
export function symbolsOf(doc: SourceDocument): Symbols {
  const definitions: Definition[] = [];
  const references: Reference[] = [];
  if (doc.value !== undefined) {
    walk(doc, doc.yaml.contents, [], undefined, (path, key, value) => {
      const defined = path.length === 2 ? DEFINED_UNDER.get(path[0]) : undefined;
      if (defined && key)
        definitions.push({ kind: defined, name: String(path[1]), path, range: rangeOf(doc, key)! });
      const usedKey = key && KEYS_USED_AT.find(([pattern]) => matches(path, pattern))?.[1];
      if (usedKey)
        references.push({ kind: usedKey, name: String(path.at(-1)), path, range: rangeOf(doc, key)! });
      const used = nameKindAt(path);
      if (!used || !isScalar(value) || typeof value.value !== "string") return;
      if (path.at(-2) === "order" && PRESS_STEPS.includes(value.value)) return;
      references.push({ kind: used, name: value.value, path, range: rangeOf(doc, value)! });
    });
  }
  return { definitions, references };
}

/** Names are no deeper than this: what lies below needs no visit. */
const DEEPEST_NAME = 4;

type Visit = (path: Path, key: Node | undefined, value: unknown) => void;

function walk(doc: SourceDocument, node: unknown, path: Path, key: Node | undefined, visit: Visit): void {
  const value = resolveAlias(node, doc.yaml);
  visit(path, key, value);
  if (path.length === DEEPEST_NAME) return;
  if (isMap(value)) {
    for (const pair of value.items) {
      if (isPair(pair)) walk(doc, pair.value, [...path, keyText(pair.key)], pair.key as Node, visit);
    }
  } else if (isSeq(value)) {
    for (const [i, item] of value.items.entries()) walk(doc, item, [...path, i], undefined, visit);
  }
}

function matches(path: Path, pattern: readonly string[]): boolean {
  return path.length === pattern.length && pattern.every((step, i) => step === "*" || step === path[i]);
}
