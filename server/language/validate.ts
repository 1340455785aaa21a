import { Ajv2020, type ErrorObject, type ValidateFunction } from "ajv/dist/2020.js";
import recipeSchema from "../../schemas/recipe.schema.json" with { type: "json" };
import shopSchema from "../../schemas/shop.schema.json" with { type: "json" };
import { type DocumentKind, rangeAt, type SourceDocument } from "./document.ts";
import type { Finding, Path, TextRange } from "./finding.ts";
import { nearest, suggestion } from "./suggest.ts";
import { FORMATS } from "./values/formats.ts";

let validators: Record<DocumentKind, ValidateFunction> | undefined;

/** Holds a document against its schema: one finding a mistake, at the innermost place that shows it. */
export function validate(doc: SourceDocument): Finding[] {
  if (doc.value === undefined) return [];
  validators ??= compile();
  const check = validators[doc.kind];
  if (check(doc.value)) return [];
  return mistakes(check.errors ?? []).map(({ error, path, part }) => ({
    rule: "schema",
    level: "error",
    file: doc.file,
    range: part === "key" && path.length > 0 ? rangeAt(doc, path, "key") : valueRange(doc, path, error),
    path,
    message: message(doc, error, path),
  }));
}

function compile(): Record<DocumentKind, ValidateFunction> {
  const ajv = new Ajv2020({
    allErrors: true,
    verbose: true,
    strict: true,
    allowUnionTypes: true,
    strictRequired: false,
    strictTypes: false,
  });
  for (const [format, parse] of Object.entries(FORMATS)) {
    ajv.addFormat(format, { type: "string", validate: (text: string) => parse(text).ok });
  }
  return { shop: ajv.compile(shopSchema), recipe: ajv.compile(recipeSchema) };
}

interface Mistake {
  readonly error: ErrorObject;
  readonly path: Path;
  readonly part: "key" | "value";
}

/** The validator's errors less its echoes: the parts of a choice, a format beside its pattern, a missing key that is only misspelt. */
function mistakes(errors: readonly ErrorObject[]): Mistake[] {
  const misspelt = new Set<string>();
  for (const error of errors) {
    if (error.keyword !== "additionalProperties") continue;
    const near = nearest(unknownKey(error), Object.keys(error.parentSchema?.properties ?? {}));
    if (near !== undefined) misspelt.add(`${error.instancePath}/${near}`);
  }
  const seen = new Set<string>();
  const found: Mistake[] = [];
  for (const error of errors) {
    if (
      /\/oneOf\/\d/.test(error.schemaPath) ||
      (error.propertyName !== undefined && error.keyword !== "propertyNames")
    )
      continue;
    if (error.keyword === "required" && misspelt.has(`${error.instancePath}/${error.params.missingProperty}`))
      continue;
    const at = pathOf(error);
    const place =
      JSON.stringify(at.path) +
      (error.keyword === "required" ? `needs ${error.params.missingProperty}` : at.part);
    if (seen.has(place)) continue;
    seen.add(place);
    found.push({ error, ...at });
  }
  return found;
}

function pathOf(error: ErrorObject): { path: Path; part: "key" | "value" } {
  const path = pointerSteps(error);
  if (error.keyword === "additionalProperties") return { path: [...path, unknownKey(error)], part: "key" };
  if (error.keyword === "propertyNames")
    return { path: [...path, String(error.params.propertyName)], part: "key" };
  if (error.keyword === "required" || error.keyword === "dependentRequired") return { path, part: "key" };
  return { path, part: "value" };
}

/** A JSON pointer's steps; a step is a list index exactly where digits follow into a list. */
function pointerSteps(error: ErrorObject): Path {
  return error.instancePath
    .split("/")
    .slice(1)
    .map((step) => step.replaceAll("~1", "/").replaceAll("~0", "~"))
    .map((step) => (/^\d+$/.test(step) ? Number(step) : step));
}

function valueRange(doc: SourceDocument, path: Path, error: ErrorObject): TextRange {
  const range = rangeAt(doc, path);
  if (path.length === 0) return firstLine(doc, range);
  // A whole block as squiggle hides the text: where the block itself is wrong, its key shows it.
  return typeof error.data === "object" && error.data !== null ? rangeAt(doc, path, "key") : range;
}

/** What is missing from the whole file is shown at its first line. */
function firstLine(doc: SourceDocument, { start, end }: TextRange): TextRange {
  const newline = doc.text.indexOf("\n", start);
  return { start, end: newline < 0 ? end : Math.min(end, newline) };
}

function unknownKey(error: ErrorObject): string {
  return String(error.params.additionalProperty);
}

function message(doc: SourceDocument, error: ErrorObject, path: Path): string {
  const { keyword, params, data, parentSchema } = error;
  if (data === null && keyword !== "required") return emptyMessage(doc, path, error);
  const parse = FORMATS[parentSchema?.format as string];
  if (parse && keyword !== "propertyNames") {
    const read = parse(String(data));
    if (typeof data === "object")
      return `must be ${kindName(parentSchema?.type)}, such as ${exampleOf(parentSchema)}`;
    return read.ok ? `must be text; write ${JSON.stringify(String(data))}` : read.problem;
  }
  switch (keyword) {
    case "additionalProperties": {
      const key = unknownKey(error);
      if (key === "<<")
        return "merge keys (<<) are not part of YAML 1.2; use an anchor on each value instead";
      if (/^\d+\s*[a-z%]*$/.test(key))
        return `"${key}" is not known here; a comma ends a value, so write decimals with a point`;
      return `"${key}" is not known here${suggestion(key, Object.keys(parentSchema?.properties ?? {}), "known keys are")}`;
    }
    case "propertyNames": {
      const read = FORMATS.name!(String(params.propertyName));
      return read.ok ? `"${params.propertyName}" cannot be a name` : read.problem;
    }
    case "required":
      return `"${params.missingProperty}" is missing; ${descriptionOf(parentSchema, params.missingProperty)}`;
    case "dependentRequired":
      return `"${params.property}" needs "${params.missingProperty}" beside it; ${descriptionOf(parentSchema, params.missingProperty)}`;
    case "oneOf": {
      const keys = (error.schema as { required: string[] }[]).map(({ required }) => required[0]);
      return `needs exactly one of ${keys.join(", ")}`;
    }
    case "enum": {
      const allowed = (params.allowedValues as unknown[]).map(String);
      return `"${data}" is not known here${suggestion(String(data), allowed, "choose one of")}`;
    }
    case "const":
      return `this file says version ${JSON.stringify(data)}; this Platewright reads version ${params.allowedValue}`;
    case "type":
      return `must be ${kindName(params.type)}, such as ${exampleOf(parentSchema)}; it is ${kindOfValue(data)}`;
    case "minimum":
      return `${data} is too small; the least is ${params.limit}`;
    case "maximum":
      return `${data} is too large; the most is ${params.limit}`;
    case "minItems":
    case "maxItems":
      return `has ${entries((data as unknown[]).length)}; ${keyword === "minItems" ? "at least" : "at most"} ${params.limit} ${params.limit === 1 ? "belongs" : "belong"} here, such as ${exampleOf(parentSchema)}`;
    case "minProperties":
      return `has no entries; at least one belongs here, such as ${exampleOf(parentSchema)}`;
    case "minLength":
      return `is empty; write for example ${exampleOf(parentSchema)}`;
    default:
      return `${error.message ?? "is wrong"}`;
  }
}

function entries(count: number): string {
  return count === 1 ? "1 entry" : `${count || "no"} entries`;
}

function emptyMessage(doc: SourceDocument, path: Path, error: ErrorObject): string {
  const { end } = rangeAt(doc, path, "key");
  const rest = doc.text.slice(end, doc.text.indexOf("\n", end) < 0 ? undefined : doc.text.indexOf("\n", end));
  const swallowed = /^\s*:\s+(#[0-9a-fA-F]{3,8})\b/.exec(rest)?.[1];
  if (swallowed) return `is empty, since # starts a comment in YAML; write "${swallowed}" in quotes`;
  return `is empty; write for example ${exampleOf(error.parentSchema)}`;
}

function exampleOf(schema: ErrorObject["parentSchema"]): string {
  const [example] = (schema?.examples as unknown[] | undefined) ?? [];
  return example === undefined ? "the reference shows" : flow(example);
}

function descriptionOf(schema: ErrorObject["parentSchema"], key: string): string {
  const property = (schema?.properties as Record<string, { description?: string; $ref?: string }>)?.[key];
  const text = property?.description ?? referred(property?.$ref)?.description;
  const [sentence = ""] = text?.split(/\.(?:\s|$)/) ?? [];
  return sentence ? sentence.charAt(0).toLowerCase() + sentence.slice(1) : "add it";
}

function referred(ref: string | undefined): { description?: string } | undefined {
  const name = ref?.split("/").at(-1) ?? "";
  const defs: Record<string, { description?: string }> = { ...shopSchema.$defs, ...recipeSchema.$defs };
  return defs[name];
}

/** YAML's flow style, as a person would type it. */
function flow(value: unknown): string {
  if (Array.isArray(value)) return `[${value.map(flow).join(", ")}]`;
  if (typeof value === "object" && value !== null) {
    return `{ ${Object.entries(value)
      .map(([k, v]) => `${k}: ${flow(v)}`)
      .join(", ")} }`;
  }
  return typeof value === "string" && value.startsWith("#") ? `"${value}"` : String(value);
}

const KINDS: Readonly<Record<string, string>> = {
  array: "a list",
  boolean: "true or false",
  integer: "a whole number",
  null: "empty",
  number: "a number",
  object: "a block of keys",
  string: "text",
};

function kindName(type: unknown): string {
  const types = Array.isArray(type) ? type : String(type).split(",");
  return types.map((t) => KINDS[t] ?? String(t)).join(" or ");
}

function kindOfValue(value: unknown): string {
  return KINDS[Array.isArray(value) ? "array" : value === null ? "null" : typeof value] ?? typeof value;
}
