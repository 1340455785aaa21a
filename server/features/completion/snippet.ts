import { flowText } from "../../language/flow-text.ts";
import { propertiesOf, type Schema } from "../../language/schema.ts";

/** How a snippet stands in the text. */
export interface SnippetStyle {
  /** On one line, in brackets. */
  readonly flow: boolean;
  /** Column of the line that the snippet starts on; further lines are measured from it. */
  readonly column: number;
}

/** Two blanks a level, as in the samples. */
const STEP = 2;

/**
 * Text for a value of a schema, in the protocol's snippet syntax: its required keys with examples to type over. A
 * block is written on lines of its own where one of its keys holds a block again, else in brackets.
 */
export function valueSnippet(schema: Schema, style: SnippetStyle): string {
  const stops = counter();
  return write(schema, style, stops);
}

/** ` key: value`-text for a key with what belongs to it; the value follows on the same line or below. */
export function keySnippet(key: string, schema: Schema, style: SnippetStyle): string {
  const stops = counter();
  return entry(key, schema, style, stops);
}

/** A new named block, such as a plate: the name is the first stop. */
export function namedSnippet(name: string, schema: Schema, style: SnippetStyle): string {
  const stops = counter();
  return entry(`\${${stops()}:${name}}`, schema, style, stops);
}

function entry(key: string, schema: Schema, style: SnippetStyle, stops: () => number): string {
  // What must name something that exists is left open, to be chosen from the names there are.
  if (takesName(key, schema)) return `${key}: ${isList(schema) ? `[$${stops()}]` : `$${stops()}`}`;
  if (style.flow || !takesLines(schema)) return `${key}: ${write(schema, { ...style, flow: true }, stops)}`;
  return `${key}:${write(schema, { flow: false, column: style.column + STEP }, stops)}`;
}

const NAMING_KEYS = new Set(["ink", "plate", "fold", "into", "from", "where", "garments", "order"]);

/** Whether the value of a key is a name, or a list of names, that is defined elsewhere. */
export function takesName(key: string, { type, items, properties }: Schema): boolean {
  return NAMING_KEYS.has(key) && !properties && (type === "string" || items?.type === "string");
}

/** In block style the text starts with a new line. */
function write(schema: Schema, style: SnippetStyle, stops: () => number): string {
  const pad = " ".repeat(style.column);
  if (isList(schema)) {
    const { items } = schema;
    const pair = schema.examples?.[0];
    if (!items || (!items.properties && Array.isArray(pair))) return scalar(schema, stops);
    if (style.flow) return `[${write(items, style, stops)}]`;
    return `\n${pad}- ${write(items, { flow: true, column: style.column + STEP }, stops)}`;
  }
  const keys = requiredKeys(schema);
  if (keys.length > 0) {
    if (style.flow) return `{ ${keys.map(([key, value]) => entry(key, value, style, stops)).join(", ")} }`;
    return keys.map(([key, value]) => `\n${pad}${entry(key, value, style, stops)}`).join("");
  }
  if (typeof schema.additionalProperties === "object") {
    // Names of one's own: one to start with.
    if (style.flow) return `{ $${stops()} }`;
    return `\n${pad}$${stops()}`;
  }
  return schema.type === "object" ? `{ $${stops()} }` : scalar(schema, stops);
}

function scalar(schema: Schema, stops: () => number): string {
  if (schema.const !== undefined) return String(schema.const);
  if (schema.enum) return `\${${stops()}|${schema.enum.join(",")}|}`;
  const [example] = schema.examples ?? [];
  return `\${${stops()}:${escapeSnippet(flowText(example))}}`;
}

function requiredKeys(schema: Schema): [string, Schema][] {
  // Where one of several keys must stand, the first of them will do to start with, and what it needs beside it.
  const chosen = schema.oneOf?.[0]?.required ?? [];
  const beside = chosen.flatMap((key) => schema.dependentRequired?.[key] ?? []);
  const required = [...chosen, ...(schema.required ?? []), ...beside];
  return propertiesOf(schema)
    .filter(([key]) => required.includes(key))
    .sort(([a], [b]) => required.indexOf(a) - required.indexOf(b));
}

/** Whether a value reads better on lines of its own: sections, and lists of blocks. */
function takesLines(schema: Schema): boolean {
  if (isList(schema)) return schema.items?.type === "object";
  return typeof schema.additionalProperties === "object" && !schema.properties;
}

function isList(schema: Schema): boolean {
  return schema.type === "array";
}

/** Text as it stands, in snippet syntax. */
export function escapeSnippet(text: string): string {
  return text.replace(/[\\$}]/g, "\\$&");
}

function counter(): () => number {
  let next = 1;
  return () => next++;
}
