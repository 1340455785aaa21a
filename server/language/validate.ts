import { Ajv2020, type ErrorObject, type ValidateFunction } from "ajv/dist/2020.js";
import recipeSchema from "../../schemas/recipe.schema.json" with { type: "json" };
import shopSchema from "../../schemas/shop.schema.json" with { type: "json" };
import { type DocumentKind, rangeAt, type SourceDocument } from "./document.ts";
import type { Finding, Path, TextRange } from "./finding.ts";
import { nearest } from "./suggest.ts";
import { FORMATS } from "./values/formats.ts";
import { unknownKey, wording } from "./wording.ts";

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
    ...wording(doc, error, path),
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
