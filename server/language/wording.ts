import type { ErrorObject } from "ajv/dist/2020.js";
import { rangeAt, type SourceDocument } from "./document.ts";
import type { FixData, Path } from "./finding.ts";
import { flowText } from "./flow-text.ts";
import { propertiesOf, schemaAt } from "./schema.ts";
import { nearest, suggestion } from "./suggest.ts";
import { FORMATS } from "./values/formats.ts";

/** A validator's error in plain words, and what an obvious fix would write. */
export interface Wording {
  readonly message: string;
  readonly data?: FixData;
}

export function wording(doc: SourceDocument, error: ErrorObject, path: Path): Wording {
  const data = fixData(doc, error, path);
  return { message: message(doc, error, path), ...(data ? { data } : {}) };
}

export function unknownKey(error: ErrorObject): string {
  return String(error.params.additionalProperty);
}

/** The keys of an "exactly one of these". */
export function choicesOf(error: ErrorObject): string[] {
  return (error.schema as { required: string[] }[]).flatMap(({ required }) => required);
}

/** A key such as `5 in`, which is what YAML makes of the end of `12,5 in` in flow style. */
export const AFTER_COMMA = /^\d+\s*[a-z%]*$/;

function fixData(doc: SourceDocument, error: ErrorObject, path: Path): FixData | undefined {
  const { keyword, params, data } = error;
  if (data === null) {
    const swallowed = swallowedColour(doc, path);
    return swallowed === undefined ? undefined : { swallowed };
  }
  if (keyword === "required" || keyword === "dependentRequired") return { missing: params.missingProperty };
  const replacement =
    keyword === "additionalProperties"
      ? nearest(unknownKey(error), Object.keys(error.parentSchema?.properties ?? {}))
      : keyword === "enum"
        ? nearest(written(data), (params.allowedValues as unknown[]).map(String))
        : undefined;
  return replacement === undefined ? undefined : { replacement };
}

function message(doc: SourceDocument, error: ErrorObject, path: Path): string {
  const { keyword, params, data, parentSchema } = error;
  if (data === null && keyword !== "required") return emptyMessage(doc, path, error);
  const parse = FORMATS[parentSchema?.format as string];
  if (parse && keyword !== "propertyNames") {
    const read = parse(written(data));
    if (typeof data === "object")
      return `must be ${kindName(parentSchema?.type)}, such as ${exampleOf(parentSchema)}`;
    return read.ok ? `must be text; write ${JSON.stringify(written(data))}` : read.problem;
  }
  switch (keyword) {
    case "additionalProperties": {
      const key = unknownKey(error);
      if (key === "<<")
        return "merge keys (<<) are not part of YAML 1.2; use an anchor on each value instead";
      if (AFTER_COMMA.test(key))
        return `"${key}" is not known here; a comma ends a value, so write decimals with a point`;
      return `"${key}" is not known here${suggestion(key, Object.keys(parentSchema?.properties ?? {}), "known keys are")}`;
    }
    case "propertyNames": {
      // What names it takes stands under the format's own name in the schema.
      const format =
        String(parentSchema?.propertyNames?.$ref ?? "")
          .split("/")
          .at(-1) ?? "";
      const read = (FORMATS[format] ?? FORMATS.name!)(String(params.propertyName));
      return read.ok ? `"${params.propertyName}" cannot be a name` : read.problem;
    }
    case "required":
      return `"${params.missingProperty}" is missing; ${descriptionOf(doc, path, params.missingProperty)}`;
    case "dependentRequired":
      return `"${params.property}" needs "${params.missingProperty}" beside it; ${descriptionOf(doc, path, params.missingProperty)}`;
    case "oneOf":
      return `needs exactly one of ${choicesOf(error).join(", ")}`;
    case "enum": {
      const allowed = (params.allowedValues as unknown[]).map(String);
      if (typeof data === "object") return `must be one of ${allowed.join(", ")}; it is ${kindOfValue(data)}`;
      return `"${written(data)}" is not known here${suggestion(written(data), allowed, "choose one of")}`;
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
    case "maxProperties":
      return `has ${entries(Object.keys(data as object).length)}; at most ${params.limit} belong here`;
    case "exclusiveMinimum":
      return `${data} is too small; it must be more than ${params.limit}`;
    case "maxLength":
      return `is too long; ${params.limit} characters at most`;
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
  const swallowed = swallowedColour(doc, path);
  if (swallowed) return `is empty, since # starts a comment in YAML; write "${swallowed}" in quotes`;
  return `is empty; write for example ${exampleOf(error.parentSchema)}`;
}

function exampleOf(schema: ErrorObject["parentSchema"]): string {
  const [example] = (schema?.examples as unknown[] | undefined) ?? [];
  return example === undefined ? "the reference shows" : flowText(example);
}

/** The first sentence of what the schema says of a key. */
function descriptionOf(doc: SourceDocument, path: Path, key: string): string {
  const block = schemaAt(doc.kind, path);
  const property = block && propertiesOf(block).find(([name]) => name === key)?.[1];
  const [sentence = ""] = property?.description?.split(/\.(?:\s|$)/) ?? [];
  return sentence ? sentence.charAt(0).toLowerCase() + sentence.slice(1) : "add it";
}

/** A colour behind the key that stands there as a comment, for want of quotes. */
function swallowedColour(doc: SourceDocument, path: Path): string | undefined {
  const { end } = rangeAt(doc, path, "key");
  const newline = doc.text.indexOf("\n", end);
  const rest = doc.text.slice(end, newline < 0 ? undefined : newline);
  return /^\s*:\s+(#[0-9a-fA-F]{3,8})\b/.exec(rest)?.[1];
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

/** What stands there, on one line; blocks and lists as JSON, whatever keys they have. */
function written(data: unknown): string {
  return typeof data === "object" ? JSON.stringify(data) : String(data);
}
