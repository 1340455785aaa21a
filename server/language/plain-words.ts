import type { DocumentKind } from "./document.ts";
import { formatPath, type Path } from "./finding.ts";
import { flowText } from "./flow-text.ts";
import { printable } from "./printable.ts";
import { propertiesOf, type Schema, schemaAt } from "./schema.ts";
import type { Colour } from "./values/colour.ts";
import { FORMATS } from "./values/formats.ts";

/**
 * A file, one fact a line, in the schema's order of keys: two files that mean the same give the same
 * lines, whatever their comments, their layout and their notation of colours and units. Works on half-written
 * documents; what belongs to no key of the format stands behind those that do.
 */
export function plainWords(kind: DocumentKind, value: unknown): string {
  return [...lines(kind, [], value)].map((line) => `${printable(line)}\n`).join("");
}

function* lines(kind: DocumentKind, path: Path, value: unknown): Iterable<string> {
  const schema = schemaAt(kind, path);
  if (Array.isArray(value) && value.length > 0 && isLong(path, value)) {
    // Entries have no names, so each stands by itself: one more moves no other.
    for (const [i, item] of value.entries()) yield `${formatPath(path)} - ${said(kind, [...path, i], item)}`;
  } else if (isBlock(value) && Object.keys(value).length > 0) {
    for (const key of inOrder(schema, value)) yield* lines(kind, [...path, key], value[key]);
  } else yield `${formatPath(path)}: ${said(kind, path, value)}`;
}

/** Lists of the file's own and print orders run down the page; ranges and curves are one fact. */
function isLong(path: Path, list: readonly unknown[]): boolean {
  return path.length === 1 || path.at(-1) === "order" || list.every(isBlock);
}

function said(kind: DocumentKind, path: Path, value: unknown): string {
  return flowText(normal(kind, path, value));
}

function normal(kind: DocumentKind, path: Path, value: unknown): unknown {
  if (Array.isArray(value)) return value.map((item, i) => normal(kind, [...path, i], item));
  if (isBlock(value)) {
    const entries = inOrder(schemaAt(kind, path), value).map((key) => [
      key,
      normal(kind, [...path, key], value[key]),
    ]);
    return Object.fromEntries(entries);
  }
  const format = schemaAt(kind, path)?.format;
  const read = format !== undefined && typeof value === "string" ? FORMATS[format]?.(value) : undefined;
  return read?.ok ? (UNITS[format ?? ""]?.(read.value as never) ?? value) : value;
}

const rounded = (value: number) => Number(value.toFixed(4));

/** One notation for each kind of scalar that has several. */
const UNITS: Readonly<Record<string, (value: never) => string>> = {
  colour: ({ lab: { L, a, b } }: Colour) =>
    `lab(${[L, a, b].map((v) => Number(v.toFixed(1)) + 0).join(" ")})`,
  length: (mm: number) => `${rounded(mm)} mm`,
  position: (mm: number) => `${rounded(mm)} mm`,
  percentage: (share: number) => `${rounded(share * 100)}%`,
  density: (density: number) => `${rounded(density)} g/cm3`,
  "fabric-weight": (weight: number) => `${rounded(weight)} g/m2`,
  "ink-sum": (share: number) => `${rounded(share * 100)}%`,
  ruling: (lpi: number) => `${rounded(lpi)} lpi`,
  resolution: (dpi: number) => `${rounded(dpi)} dpi`,
  "mesh-count": (count: number) => `${rounded(count)}/in`,
};

function inOrder(schema: Schema | undefined, block: Readonly<Record<string, unknown>>): string[] {
  const known = schema ? propertiesOf(schema).map(([key]) => key) : [];
  const rank = (key: string) => (known.includes(key) ? known.indexOf(key) : known.length);
  // Names of the recipe's own keep their order, which is the order in which its readers know them.
  return Object.keys(block).sort((a, b) => rank(a) - rank(b));
}

function isBlock(value: unknown): value is Readonly<Record<string, unknown>> {
  return typeof value === "object" && value !== null && !Array.isArray(value);
}
