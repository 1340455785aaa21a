import {
  type Alias,
  type Document,
  isAlias,
  isMap,
  isNode,
  isPair,
  isScalar,
  isSeq,
  LineCounter,
  type Node,
  type Pair,
  parseDocument as parseYaml,
  visit,
} from "yaml";
import type { BlockCache } from "./blocks.ts";
import type { Finding, Path, TextRange } from "./finding.ts";
import { yamlWords } from "./yaml-words.ts";

export type DocumentKind = "recipe" | "shop" | "order";

/** What a person calls a file of each kind. */
export const KIND_WORDS: Readonly<Record<DocumentKind, string>> = {
  recipe: "recipe",
  shop: "shop file",
  order: "order",
};

/** A recipe, shop file or order as text, as YAML nodes that know their place, and as plain data. */
export interface SourceDocument {
  /** Path or URI, as messages show it. */
  readonly file: string;
  readonly kind: DocumentKind;
  readonly text: string;
  /** Its nodes may bear places that count from elsewhere: ask `rangeOf`. */
  readonly yaml: Document;
  originOf(node: Node): number;
  readonly lines: LineCounter;
  /** The data of `yaml`, aliases followed; undefined where the text is no YAML or was refused. */
  readonly value: unknown;
  /** YAML errors and refusals. */
  readonly findings: readonly Finding[];
}

/** Largest text that is read, in bytes of UTF-8. */
export const LARGEST_TEXT = 2_000_000;
const DEEPEST = 64;
const MOST_ALIASES = 10_000;
/** Parts of a recipe once its aliases are written out: a hundred times what a job needs, and still quick. */
const MOST_PARTS = 50_000;
/** Entries of one block or list: an ink maker's whole range fits in. */
const MOST_ENTRIES = 5_000;
/** Signs that start a line, an entry, a list or a block: what the time that the YAML reader takes goes with. */
const MOST_SIGNS = 100_000;
const SIGN = /[\n,[{]/g;
/** Signs of YAML's syntax in all (YAML 1.2.2, 5.3), each of which may be an error of its own. */
const MOST_INDICATORS = 200_000;
const INDICATOR = /[-?:,[\]{}#&*!|>'"%@`]/g;
const MOST_ERRORS = 1000;
const SECOND_DOCUMENT = "a second document starts here; a file holds one, so take out this line of ---";
const TOO_MANY = "aliases make the file stand for more than can be read; write out what they stand for";
const TOO_LONG =
  "the file has more lines and entries than can be read; a job needs a few hundred, so split it up";
const TOO_DEEP = "the file is nested too deeply to be read; a recipe needs no more than a dozen levels";

/**
 * Reads one file's text. Errors are collected as findings; nothing is thrown. With `blocks`, kept from one reading of
 * a file to the next, only what changed in between is read.
 */
export function parseDocument(
  file: string,
  text: string,
  kind: DocumentKind = kindOf(file),
  blocks?: BlockCache,
): SourceDocument {
  const lines = new LineCounter();
  const refuse = (
    rule: string,
    message: string,
    range: TextRange = { start: 0, end: 0 },
  ): SourceDocument => ({
    file,
    kind,
    text,
    yaml: parseYaml(""),
    originOf: inPlace,
    lines,
    value: undefined,
    findings: [{ rule, level: "error", file, range, path: [], message }],
  });

  const bytes = utf8Length(text);
  if (bytes > LARGEST_TEXT) {
    const size = (bytes / 1e6).toFixed(1);
    return refuse(
      "too-large",
      `the file has ${size} MB; at most 2 MB are read, so split it into several recipes`,
    );
  }
  if (count(text, SIGN, MOST_SIGNS) || count(text, INDICATOR, MOST_INDICATORS))
    return refuse("too-large", TOO_LONG);
  const composed = blocks?.compose(text);
  let yaml: Document;
  try {
    yaml =
      composed?.yaml ??
      parseYaml(text, {
        lineCounter: lines,
        prettyErrors: false,
        version: "1.2",
        // A command line keeps its stderr for itself.
        logLevel: "error",
      });
  } catch (error) {
    if (error instanceof RangeError) return refuse("too-deep", TOO_DEEP);
    throw error;
  }
  // The YAML reader is recursive: text nested thousands deep exhausts the stack, which it collects or throws.
  if (composed) countLines(text, lines);
  const { originOf } = composed ?? { originOf: inPlace };
  if (yaml.errors.some((error) => /call stack/i.test(error.message))) return refuse("too-deep", TOO_DEEP);
  const findings: Finding[] = [...yaml.errors, ...yaml.warnings].slice(0, MOST_ERRORS).map((error) => ({
    rule: "yaml",
    level: "error",
    file,
    range: clip(error.pos[0], error.pos[1], text.length),
    path: [],
    message: error.code === "MULTIPLE_DOCS" ? SECOND_DOCUMENT : yamlWords(error.code, error.message),
  }));
  const { value, problem, culprit } = plainData(yaml);
  if (problem)
    findings.push({
      rule: "yaml",
      level: "error",
      file,
      range: rangeOfNode({ originOf }, culprit),
      path: [],
      message: problem,
    });
  if (value === null && findings.length === 0) {
    findings.push({
      rule: "empty",
      level: "error",
      file,
      range: { start: 0, end: 0 },
      path: [],
      message: `the file is empty; a ${kind} starts with "${kind}: 1"`,
    });
  }
  return { file, kind, text, yaml, originOf, lines, value: value ?? undefined, findings };
}

/** Whether a text holds more than `most` of such signs. */
function count(text: string, sign: RegExp, most: number): boolean {
  if (text.length <= most) return false;
  sign.lastIndex = 0;
  let found = 0;
  while (found <= most && sign.test(text)) found++;
  return found > most;
}

/** Shop files are named `*.shop.yaml` or `shop.yaml`; everything else is a recipe. */
export function kindOf(file: string): DocumentKind {
  const [, kind] = /(?:^|[./\\])(shop|order)\.ya?ml$/i.exec(file) ?? [];
  return (kind?.toLowerCase() as DocumentKind | undefined) ?? "recipe";
}

/** Where `path` stands: the value's characters, or the key's. An alias leads to what it stands for. */
export function rangeAt(doc: SourceDocument, path: Path, part: "value" | "key" = "value"): TextRange {
  let node: unknown = doc.yaml.contents;
  let key: unknown;
  for (const step of path) {
    const entry = child(resolveAlias(node, doc.yaml), step);
    if (!entry) break;
    [key, node] = entry;
  }
  const ranged = part === "key" && isNode(key) ? key : isNode(node) && !isEmptyScalar(node) ? node : key;
  const range = rangeOfNode(doc, isNode(ranged) ? resolveShown(ranged, doc.yaml) : undefined);
  return clip(range.start, range.end, doc.text.length);
}

/** Line and column, both from 1, of an offset. */
export function positionAt(doc: SourceDocument, offset: number): { line: number; column: number } {
  const { line, col } = doc.lines.linePos(offset);
  // A byte order mark is no column to anybody.
  const mark = line <= 1 && doc.text.startsWith("\ufeff") ? 1 : 0;
  return line === 0 ? { line: 1, column: offset + 1 } : { line, column: Math.max(1, col - mark) };
}

function child(node: unknown, step: string | number): [key: unknown, value: unknown] | undefined {
  if (isMap(node)) {
    const pair = node.items.find((item): item is Pair => isPair(item) && keyText(item.key) === String(step));
    return pair && [pair.key, pair.value];
  }
  if (isSeq(node) && typeof step === "number" && step < node.items.length)
    return [undefined, node.items[step]];
  return undefined;
}

export function keyText(key: unknown): string {
  return isScalar(key) ? String(key.value ?? "") : String(key ?? "");
}

/** What each alias of a document stands for. The library would look through the whole document for each of them. */
const targets = new WeakMap<Document, ReadonlyMap<Alias, Node | undefined>>();

export function resolveAlias(node: unknown, yaml: Document): unknown {
  if (!isAlias(node)) return node;
  let known = targets.get(yaml);
  if (!known) {
    known = aliasTargets(yaml);
    targets.set(yaml, known);
  }
  return known.get(node);
}

/** An alias stands for the nearest node before it that bears its name (YAML 1.2.2, 7.1). */
function aliasTargets(yaml: Document): Map<Alias, Node | undefined> {
  const anchors = new Map<string, Node>();
  const found = new Map<Alias, Node | undefined>();
  visit(yaml, {
    Node(_, node) {
      if (isAlias(node)) found.set(node, anchors.get(node.source));
      else if (node.anchor) anchors.set(node.anchor, node);
    },
  });
  return found;
}

function resolveShown(node: Node, yaml: Document): Node {
  return (resolveAlias(node, yaml) as Node | undefined) ?? node;
}

function isEmptyScalar(node: Node): boolean {
  return isScalar(node) && node.value === null && node.source === "";
}

/** A node's characters in the text. */
export function rangeOf(doc: Pick<SourceDocument, "originOf">, node: unknown): TextRange | undefined {
  if (!isNode(node) || !node.range) return undefined;
  const origin = doc.originOf(node);
  return { start: origin + node.range[0], end: origin + node.range[1] };
}

function rangeOfNode(doc: Pick<SourceDocument, "originOf">, node: Node | undefined): TextRange {
  return rangeOf(doc, node) ?? { start: 0, end: 0 };
}

function inPlace(): number {
  return 0;
}

function countLines(text: string, lines: LineCounter): void {
  lines.addNewLine(0);
  for (let at = text.indexOf("\n"); at >= 0; at = text.indexOf("\n", at + 1)) lines.addNewLine(at + 1);
}

function clip(start: number, end: number, length: number): TextRange {
  const from = Math.min(Math.max(start, 0), length);
  return { start: from, end: Math.min(Math.max(end, from), length) };
}

/** The data of a document; aliases share what they stand for, so that the data stays as small as the text. */
function plainData(yaml: Document): { value: unknown; problem?: string; culprit?: Node | undefined } {
  try {
    const value: unknown = yaml.toJS({ maxAliasCount: MOST_ALIASES });
    const { depth, parts, widest } = extentOf(value, new Map());
    if (depth > DEEPEST) {
      const problem = `more than ${DEEPEST} levels of nesting, or an alias inside of what it stands for`;
      return { value: undefined, problem, culprit: aliasWhere(yaml, (alias, within) => within.has(alias)) };
    }
    if (widest > MOST_ENTRIES) {
      const problem = `${thousands(widest)} entries in one place; at most ${thousands(MOST_ENTRIES)} are read, so split them up`;
      return { value: undefined, problem, culprit: collectionOf(yaml, widest) };
    }
    return parts > MOST_PARTS ? { value: undefined, problem: TOO_MANY } : { value };
  } catch (error) {
    if (error instanceof RangeError) return { value: undefined, problem: TOO_DEEP };
    if (error instanceof ReferenceError) {
      if (/excessive alias count/i.test(error.message)) return { value: undefined, problem: TOO_MANY };
      const culprit = aliasWhere(yaml, (target) => target === undefined);
      return { value: undefined, problem: yamlWords("", error.message), culprit };
    }
    // Tags of older YAML that hold what they may not, which the reader sees only here.
    return { value: undefined, problem: yamlWords("", (error as Error).message) };
  }
}

function thousands(count: number): string {
  return count.toLocaleString("en");
}

/** How far data reaches once its aliases are written out; what holds itself has no end of levels and parts. */
function extentOf(value: unknown, known: Map<object, Extent>): Extent {
  if (typeof value !== "object" || value === null) return { depth: 0, parts: 1, widest: 0 };
  const seen = known.get(value);
  if (seen) return seen;
  known.set(value, { depth: Number.POSITIVE_INFINITY, parts: Number.POSITIVE_INFINITY, widest: 0 });
  let depth = 0;
  let parts = 1;
  const items: unknown[] = Object.values(value);
  let widest = items.length;
  for (const item of items) {
    const inner = extentOf(item, known);
    depth = Math.max(depth, inner.depth);
    parts += inner.parts;
    widest = Math.max(widest, inner.widest);
  }
  const extent = { depth: depth + 1, parts, widest };
  known.set(value, extent);
  return extent;
}

interface Extent {
  readonly depth: number;
  readonly parts: number;
  /** Entries of the longest block or list. */
  readonly widest: number;
}

/** The first block or list of so many entries. */
function collectionOf(yaml: Document, entries: number): Node | undefined {
  let found: Node | undefined;
  visit(yaml, {
    Collection(_, node) {
      if (node.items.length !== entries) return undefined;
      found = node;
      return visit.BREAK;
    },
  });
  return found;
}

/** The first alias for which `matches` holds, given what it stands for and the blocks it stands in. */
function aliasWhere(
  yaml: Document,
  matches: (target: unknown, within: ReadonlySet<unknown>) => boolean,
): Alias | undefined {
  let found: Alias | undefined;
  visit(yaml, {
    Alias(_, alias, within) {
      if (!matches(resolveAlias(alias, yaml), new Set(within))) return undefined;
      found = alias;
      return visit.BREAK;
    },
  });
  return found;
}

function utf8Length(text: string): number {
  // Most texts are far below the limit: count exactly only where the answer is in doubt.
  if (text.length * 3 <= LARGEST_TEXT) return text.length;
  let bytes = 0;
  for (const char of text) {
    const code = char.codePointAt(0) ?? 0;
    bytes += code < 0x80 ? 1 : code < 0x800 ? 2 : code < 0x10000 ? 3 : 4;
  }
  return bytes;
}
