import { readFileSync } from "node:fs";
import {
  type Document,
  isMap,
  isNode,
  isPair,
  isScalar,
  isSeq,
  type Node,
  type Pair,
  parseDocument,
  visit,
  YAMLMap,
  YAMLSeq,
} from "yaml";
import { SOUND } from "../language/documents.ts";
import NIGHT_GARDEN from "../language/night-garden.ts";
import { random } from "../property.ts";

/** One document to be tried, and the shop file that it finds beside it. */
export interface FuzzCase {
  readonly kind: "recipe" | "shop";
  readonly text: string;
  readonly shop: string;
}

const sample = (name: string) => readFileSync(new URL(`../../samples/${name}`, import.meta.url), "utf8");
const SHOP = sample("workshop.shop.yaml");
const SOLVED = sample("night-garden/night-garden-solved.sep.yaml");
/** Everything that the format knows, in few lines. */
const WIDE = `recipe: 1
title: &t Fuzz
shop: ../workshop.shop.yaml
artwork: { file: art.png, width: 2 in }
garments: { black: { colour: "#17171a" }, white: { colour: white } }
inks: { own: { colour: lab(50 10 10), opacity: 70% } }
plates:
  base: { ink: white, purpose: underbase, extract: { artwork: opaque } }
  ember: { ink: ember, extract: { hue: [350, 50], any: [{ chroma: [2, 9] }, { lightness: [0, 9] }], fade: 4 } }
  own: { ink: own, extract: { near: "#d8431f", within: 5, fade: 8 } }
  dots: { ink: own, extract: { index: squares } }
index: { grid: 150/in, dither: blue-noise, grow: 0.01 mm }
adjust: [{ plate: own, curve: [[0, 0], [100, 40]] }]
merges: [{ fold: own, into: ember }]
knockouts: [{ from: base, where: ember, choke: 0.2 mm }]
traps: [{ plate: base, choke: 0.1 mm }]
setups: { dark: { garments: [black], order: [base, flash, ember, dots] }, light: { garments: [white], order: [ember] } }
`;
/** The small ones more often: they cost less, and know every key. */
const RECIPES = [...Array(6).fill(SOUND), ...Array(5).fill(WIDE), SOLVED, SOLVED, NIGHT_GARDEN] as string[];
/** For runs that must be short. */
const SHORT = [SOUND, SOUND, WIDE];
const SHORT_SHOP = `shop: 1
press: { stations: 10, flashes: 2, area: { width: 16 in, height: 20 in }, misregistration: 0.1 mm }
meshes: { fine: { count: 225/in, thread: 40 um, opening: 73 um, thickness: 59 um } }
usual-mesh: { underbase: fine, colour: fine }
press-notes: { flash: dry to the touch }
inks: { white: { colour: "#f6f5f1", opacity: 93% }, ember: { colour: lab(56 56 56), opacity: 70% } }
rules: { far-ink: off }
`;

/** Keys that a careless program takes for its own, and names that file systems do. */
const HOSTILE_WORDS = [
  "__proto__",
  "constructor",
  "prototype",
  "toString",
  "hasOwnProperty",
  "valueOf",
  "<<",
  "",
  " ",
  "null",
  "true",
  "../../../etc/passwd",
  "C:\\con",
  "file:///etc/passwd",
  "http://127.0.0.1:9/x.png",
  "a\u0000b",
  "\ud800",
  "🐞".repeat(30),
  "e\u0301",
  "İ",
  "\u202eevil",
  "x".repeat(300),
  "<script>alert(1)</script>",
  "$(x)",
  "%00",
  "a b",
  "'",
  '"',
  "\\",
  "\u2028",
];
const HOSTILE_VALUES: readonly unknown[] = [
  ...HOSTILE_WORDS,
  0,
  -0,
  -1,
  1e308,
  -1e308,
  1e-320,
  Number.NaN,
  Number.POSITIVE_INFINITY,
  0.1 + 0.2,
  2 ** 53,
  null,
  true,
  false,
  [],
  {},
  [[]],
  [[[[[[[]]]]]]],
  { a: 1 },
  [0, 0],
  [100, 0],
  [Number.NaN, 5],
  "1e999 mm",
  "-4 in",
  "0 lpi",
  "1e9 dpi",
  "100.0001%",
  "-1%",
  "lab(1e9 1e9 1e9)",
  "lab(50 NaN 0)",
  "rgb(999 0 0)",
  "#ggg",
  "#",
  "1/in",
  "99999999999999999999/in",
  "0x7fffffff",
  "1_000",
  "12:30:45",
  "2026-02-31",
  "!!binary AAAA",
  "flash",
  "base",
  "ember",
  "white",
  "black",
  "opaque",
  "am",
  "underbase",
  "recipe",
  "shop",
];
const RAW = [
  "\n",
  "\r\n",
  "\r",
  "\t",
  "  ",
  "{",
  "}",
  "[",
  "]",
  ",",
  ": ",
  "- ",
  "? ",
  "#",
  "&a ",
  "*a",
  "*t",
  "!!set ",
  "!x ",
  "|\n",
  ">-\n",
  "'",
  '"',
  "%",
  "@",
  "`",
  "---\n",
  "...\n",
  "<<: *a\n",
  "\ufeff",
  "\u0000",
  "\ufffd",
  "\u2028",
  "\u0085",
  "\ud83d",
  "💡",
  "e\u0301",
  "1e999",
  "~",
  "%YAML 1.1\n",
  "__proto__: ",
  "  new:\n    ink: ",
  "# allow rule: why\n",
  "\\u0000",
  "= ",
  "0o7",
  ".inf",
  ".nan",
];

/** The document of a seed and a number, always the same; `short` ones take a third of the time. */
export function fuzzCase(seed: number, index: number, short = false): FuzzCase {
  const next = random((seed ^ Math.imul(index + 1, 0x9e3779b1)) | 0);
  // The first numbers of neighbouring seeds look alike.
  for (let i = 0; i < 4; i++) next();
  const kind = next() < 0.85 ? "recipe" : "shop";
  const shop = short ? SHORT_SHOP : SHOP;
  const text = mutated(kind === "recipe" ? pick(short ? SHORT : RECIPES, next) : shop, next);
  return { kind, text, shop: next() < 0.15 ? mutated(shop, next) : shop };
}

type Random = () => number;

function pick<T>(from: readonly T[], next: Random): T {
  return from[Math.floor(next() * from.length)]!;
}

function mutated(text: string, next: Random): string {
  const way = next();
  if (way < 0.55) return encoded(withNodesChanged(text, next), next);
  if (way < 0.9) return withCharactersChanged(text, next);
  if (way < 0.97) return withBytesChanged(withNodesChanged(text, next), next);
  return noise(next);
}

const parsed = new Map<string, Document>();

function keep(text: string): Document {
  const doc: Document = parseDocument(text, { logLevel: "silent" });
  parsed.set(text, doc);
  return doc;
}

/** Grammar-aware: nodes dropped, doubled, moved, renamed, replaced, wrapped, anchored. */
function withNodesChanged(text: string, next: Random): string {
  const doc = (parsed.get(text) ?? keep(text)).clone();
  for (let left = 1 + Math.floor(next() * 4); left > 0; left--) changeANode(doc, next);
  try {
    return doc.toString({
      indent: pick([2, 2, 2, 1, 4, 7], next),
      lineWidth: pick([80, 0, 20], next),
      collectionStyle: pick(["any", "any", "block", "flow"] as const, next),
      defaultStringType: pick(
        ["PLAIN", "PLAIN", "QUOTE_DOUBLE", "QUOTE_SINGLE", "BLOCK_LITERAL"] as const,
        next,
      ),
    });
  } catch {
    // The changes ask for what the writer refuses, as an alias before its anchor: then the text alone is changed.
    return withCharactersChanged(text, next);
  }
}

function changeANode(doc: Document, next: Random): void {
  const collections: (YAMLMap | YAMLSeq)[] = [];
  visit(doc, {
    Collection: (_, node) => void collections.push(node as YAMLMap | YAMLSeq),
  });
  if (collections.length === 0) return;
  const at = pick(collections, next);
  const items = at.items as unknown[];
  const index = Math.floor(next() * items.length);
  const item = items[index];
  const value = () => doc.createNode(pick(HOSTILE_VALUES, next));
  switch (Math.floor(next() * 9)) {
    case 0:
      items.splice(index, 1);
      return;
    case 1:
      if (isNode(item) || isPair(item)) items.splice(Math.floor(next() * items.length), 0, item.clone());
      return;
    case 2: {
      // Into another place, where it may not belong.
      const other = pick(collections, next).items as unknown[];
      if (isNode(item) || isPair(item)) other.push(item.clone());
      return;
    }
    case 3:
      if (isPair(item)) (item as Pair).key = doc.createNode(pick(HOSTILE_WORDS, next));
      else items[index] = value();
      return;
    case 4:
    case 5:
      if (isPair(item)) (item as Pair).value = value();
      else if (items.length > 0) items[index] = value();
      return;
    case 6:
      if (isMap(at)) items.push(doc.createPair(pick(HOSTILE_WORDS, next), pick(HOSTILE_VALUES, next)));
      else items.push(value());
      return;
    case 7: {
      const wrapped = isPair(item) ? (item as Pair).value : item;
      const into = next() < 0.5 ? new YAMLSeq() : new YAMLMap();
      if (isSeq(into)) into.items.push(wrapped);
      else into.items.push(doc.createPair(pick(HOSTILE_WORDS, next), wrapped) as never);
      if (isPair(item)) (item as Pair).value = into;
      else if (items.length > 0) items[index] = into;
      return;
    }
    case 8: {
      const target = isPair(item) ? (item as Pair).value : item;
      if (!isNode(target) || !(isScalar(target) || isMap(target) || isSeq(target))) return;
      const alias = doc.createAlias(target as Node as never, pick(["a", "b", "t"], next));
      (pick(collections, next).items as unknown[]).push(
        next() < 0.5 ? alias : doc.createPair(pick(HOSTILE_WORDS, next), alias),
      );
    }
  }
}

/** Line ends, marks and indents as other editors write them. */
function encoded(text: string, next: Random): string {
  const way = next();
  if (way < 0.1) return text.replaceAll("\n", "\r\n");
  if (way < 0.14) return `\ufeff${text}`;
  if (way < 0.17) return text.replaceAll("  ", "\t");
  if (way < 0.2) return text.replaceAll("\n", "\r");
  if (way < 0.22) return text.replace(/\n+$/, "");
  return text;
}

function withCharactersChanged(text: string, next: Random): string {
  let changed = text;
  for (let left = 1 + Math.floor(next() * 6); left > 0; left--) {
    const at = Math.floor(next() * (changed.length + 1));
    const length = Math.floor(next() ** 3 * 200);
    switch (Math.floor(next() * 6)) {
      case 0:
        changed = changed.slice(0, at) + changed.slice(at + length);
        break;
      case 1:
      case 2:
        changed = changed.slice(0, at) + pick(RAW, next) + changed.slice(at);
        break;
      case 3:
        changed = changed.slice(0, at + length) + changed.slice(at);
        break;
      case 4: {
        const from = Math.floor(next() * changed.length);
        changed = changed.slice(0, at) + changed.slice(from, from + length) + changed.slice(at);
        break;
      }
      case 5:
        if (next() < 0.2) changed = changed.slice(0, at);
        else changed = changed.slice(0, at) + pick(HOSTILE_WORDS, next) + changed.slice(at + length);
    }
  }
  return changed;
}

/** Bytes that need not be UTF-8 any more, read as the server reads a file. */
function withBytesChanged(text: string, next: Random): string {
  const bytes = Buffer.from(text);
  for (let left = 1 + Math.floor(next() * 8); left > 0; left--) {
    bytes[Math.floor(next() * bytes.length)] = Math.floor(next() * 256);
  }
  return new TextDecoder().decode(bytes);
}

/** No recipe at all: signs of YAML, or any bytes. */
function noise(next: Random): string {
  const length = Math.floor(next() * 300);
  if (next() < 0.5) return Array.from({ length: length >> 2 }, () => pick(RAW, next)).join("");
  return new TextDecoder().decode(Uint8Array.from({ length }, () => Math.floor(next() * 256)));
}
