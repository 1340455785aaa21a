import { flowText } from "../server/language/flow-text.ts";
import orderSchema from "./order.schema.json" with { type: "json" };
import recipeSchema from "./recipe.schema.json" with { type: "json" };
import shopSchema from "./shop.schema.json" with { type: "json" };

interface Schema {
  readonly $ref?: string;
  readonly title?: string;
  readonly description?: string;
  readonly type?: string | readonly string[];
  readonly format?: string;
  readonly const?: unknown;
  readonly enum?: readonly unknown[];
  readonly then?: Schema;
  readonly default?: unknown;
  readonly examples?: readonly unknown[];
  readonly required?: readonly string[];
  readonly properties?: Readonly<Record<string, Schema>>;
  readonly additionalProperties?: boolean | Schema;
  readonly items?: Schema;
  readonly oneOf?: readonly { readonly required: readonly string[] }[];
  readonly dependentRequired?: Readonly<Record<string, readonly string[]>>;
  readonly minimum?: number;
  readonly maximum?: number;
}

const recipe = recipeSchema as Schema;
const shop = shopSchema as Schema;
const order = orderSchema as Schema;
const definitions: Readonly<Record<string, Schema>> = {
  ...(recipeSchema.$defs as Record<string, Schema>),
  ...(shopSchema.$defs as Record<string, Schema>),
  ...(orderSchema.$defs as Record<string, Schema>),
};
/** Scalars that only a format describes. */
const FORMATS: Readonly<Record<string, string>> = {
  ruling: "ruling, as `45 lpi` or `18 l/cm`",
  resolution: "resolution, as `1200 dpi`",
  "mesh-count": "mesh count, as `225/in` or `90/cm`",
  "ink-sum": "sum of tones, as `240%`",
  day: "day, as `2026-03-14`",
  density: "density, as `1.3 g/cm3`",
  "fabric-weight": "weight of fabric, as `180 g/m2`",
};

/** The page with every key of the formats. */
export function formatPage(): string {
  return [
    "# The file formats",
    INTRODUCTION,
    section("Recipe", recipe, "*.sep.yaml"),
    ...["artwork", "margins", "background", "flat", "garment", "plate", "extraction", "plate-screening"].map(
      defined,
    ),
    ...[
      "adjustment",
      "region",
      "curve",
      "strength-curve",
      "merge",
      "knockout",
      "trap",
      "solving",
      "process",
      "index",
      "setup",
    ].map(defined),
    section("Shop file", shop, "*.shop.yaml"),
    ...[
      "press",
      "size",
      "mesh",
      "usual-mesh",
      "ink",
      "ink-kind",
      "ink-use",
      "readings",
      "wedge",
      "tones",
    ].map(defined),
    ...["card", "screening", "dot", "film", "press-notes", "lesson", "measured", "rule-level"].map(defined),
    section("Order", order, "*.order.yaml"),
    ...["print", "place", "line"].map(defined),
    "## Values",
    ...["name", "size-name", "colour", "length", "position", "print-length", "print-position"].map(defined),
    ...["percentage", "range", "point", "extent"].map(defined),
  ].join("\n\n");
}

const INTRODUCTION = `Written by \`npm run generate\` from [recipe.schema.json](recipe.schema.json), [shop.schema.json](shop.schema.json) and
[order.schema.json](order.schema.json), which are
JSON Schema 2020-12. Keys in **bold** are required. All formats are YAML 1.2. The order of the keys in a file never changes a result.`;

function defined(name: string): string {
  const schema = definitions[name];
  if (!schema?.title) throw new Error(`the schemas define no ${name}`);
  return section(schema.title, schema);
}

function section(title: string, schema: Schema, files?: string): string {
  const parts = [`${files ? "##" : "###"} ${title}`, schema.description ?? ""];
  const rows = keysOf(schema).flatMap(([key, value]) => rowsOf(schema, key, value));
  if (rows.length > 0)
    parts.push(`| key | takes | what it says | example |\n|---|---|---|---|\n${rows.join("\n")}`);
  const rules = rulesOf(schema);
  if (rules) parts.push(rules);
  if (schema.enum) parts.push(`One of ${schema.enum.map((word) => `\`${word}\``).join(", ")}.`);
  const examples = schema.examples ?? [];
  if (examples.length > 0 && rows.length === 0)
    parts.push(`For example ${examples.map((example) => `\`${flowText(example)}\``).join(" or ")}.`);
  return parts.join("\n\n");
}

/** A key's row, and those of what is written below it where that has no name of its own. */
function rowsOf(schema: Schema, key: string, value: Schema, above = ""): string[] {
  const example = (followed(value).examples ?? [])[0];
  const row = [
    `${above ? `\`${above}.${key}\`` : named(schema, key)}`,
    cell(linked(value)),
    cell(about(value)),
    example === undefined ? "" : `\`${cell(flowText(example))}\``,
  ];
  const below = value.$ref ? [] : keysOf(value);
  return [`| ${row.join(" | ")} |`, ...below.flatMap(([inner, part]) => rowsOf(value, inner, part, key))];
}

function named({ required = [] }: Schema, key: string): string {
  return required.includes(key) ? `**\`${key}\`**` : `\`${key}\``;
}

function keysOf(schema: Schema): [string, Schema][] {
  return Object.entries(schema.properties ?? {});
}

/** Where a key only points at a definition, that one's words. */
function about(value: Schema): string {
  const usual = value.default === undefined ? "" : ` Usually \`${flowText(value.default)}\`.`;
  return `${value.description ?? followed(value).description ?? ""}${usual}`;
}

function followed(value: Schema): Schema {
  return value.$ref ? { ...target(value.$ref), ...value } : value;
}

function target(ref: string): Schema {
  const schema = definitions[ref.split("/").at(-1) ?? ""];
  if (!schema) throw new Error(`the schemas define no ${ref}`);
  return schema;
}

/** What kind of value a key takes, in a few words. */
function linked(value: Schema): string {
  if (value.$ref) {
    const { title = "" } = target(value.$ref);
    return `[${title.toLowerCase()}](#${title.toLowerCase().replaceAll(" ", "-")})`;
  }
  if (value.const !== undefined) return `\`${flowText(value.const)}\``;
  if (value.enum) return value.enum.map((word) => `\`${word}\``).join(", ");
  if (value.then) return `${linked(value.then)}, or the keys below`;
  if (value.items) return `list of ${value.items.$ref ? linked(value.items) : "names"}`;
  if (typeof value.additionalProperties === "object")
    return `names, each with its ${linked(value.additionalProperties)}`;
  if (value.format) return FORMATS[value.format] ?? value.format;
  if (value.type === "boolean") return "`true`, `false`";
  if (value.type === "object") return "the keys below";
  if (value.type === "string") return "text";
  const numbers = value.type === "integer" ? "whole number" : "number";
  const kinds = Array.isArray(value.type) ? `${numbers}, or the keys below` : numbers;
  return value.minimum === undefined ? kinds : `${kinds}, ${value.minimum} to ${value.maximum}`;
}

function rulesOf({ oneOf = [], dependentRequired = {} }: Schema): string {
  const keys = oneOf.flatMap(({ required }) => required).map((key) => `\`${key}\``);
  const needs = Object.entries(dependentRequired).map(
    ([key, needed]) => `\`${key}\` needs ${needed.map((other) => `\`${other}\``).join(" and ")}`,
  );
  const one =
    keys.length > 0 ? `Exactly one of ${keys.slice(0, -1).join(", ")} and ${keys.at(-1)} is written.` : "";
  return [one, needs.length > 0 ? `${needs.join("; ")}.` : ""].filter(Boolean).join(" ");
}

function cell(text: string): string {
  return text.replaceAll("|", "\\|");
}
