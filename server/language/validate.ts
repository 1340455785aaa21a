import type { ErrorObject } from "ajv/dist/2020.js";
import { rangeAt, type SourceDocument } from "./document.ts";
import type { Finding, Path, TextRange } from "./finding.ts";
import { order, recipe, shop } from "./generated/validators.js";
import { nearest } from "./suggest.ts";
import { AFTER_COMMA, choicesOf, unknownKey, wording } from "./wording.ts";

/** Nobody reads more; what comes after them shows up once these are mended. */
const MOST_MISTAKES = 1000;

const VALIDATORS = { order, recipe, shop };

/** Holds a document against its schema: one finding a mistake, at the innermost place that shows it. */
export function validate(doc: SourceDocument): Finding[] {
  if (doc.value === undefined) return [];
  const check = VALIDATORS[doc.kind];
  if (check(doc.value)) return [];
  const findings = mistakes(check.errors ?? [], doc.value).map(
    ({ error, path, part }): Finding => ({
      rule: "schema",
      level: "error",
      file: doc.file,
      range: part === "key" && path.length > 0 ? rangeAt(doc, path, "key") : valueRange(doc, path, error),
      path,
      ...wording(doc, error, path),
    }),
  );
  // What stands before a decimal comma in flow style is the other half of one mistake.
  const commas = new Set(
    findings
      .filter(({ path }) => typeof path.at(-1) === "string" && AFTER_COMMA.test(path.at(-1) as string))
      .map(({ range }) => range.start - 1)
      .filter((offset) => doc.text[offset] === ","),
  );
  return findings.filter(({ range }) => !commas.has(range.end));
}

interface Mistake {
  readonly error: ErrorObject;
  readonly path: Path;
  readonly part: "key" | "value";
}

/** The validator's errors less its echoes: the parts of a choice, a format beside its pattern, a missing key that is only misspelt. */
function mistakes(errors: readonly ErrorObject[], data: unknown): Mistake[] {
  const misspelt = new Set<string>();
  const merged = new Set<string>();
  for (const error of errors) {
    if (error.keyword !== "additionalProperties") continue;
    if (unknownKey(error) === "<<") merged.add(error.instancePath);
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
    const missing =
      error.keyword === "required"
        ? [error.params.missingProperty]
        : error.keyword === "oneOf"
          ? choicesOf(error)
          : [];
    // A key that misses its partner already says what is to be written.
    if (error.keyword === "oneOf" && partnerMissing(errors, error, missing)) continue;
    if (missing.some((key) => misspelt.has(`${error.instancePath}/${key}`))) continue;
    // What a merge key would have brought is not missed.
    if (missing.length > 0 && merged.has(error.instancePath)) continue;
    const at = pathOf(error, data);
    const place =
      JSON.stringify(at.path) +
      (error.keyword === "required" ? `needs ${error.params.missingProperty}` : at.part);
    if (seen.has(place)) continue;
    seen.add(place);
    found.push({ error, ...at });
    if (found.length === MOST_MISTAKES) break;
  }
  return found;
}

function partnerMissing(
  errors: readonly ErrorObject[],
  choice: ErrorObject,
  keys: readonly string[],
): boolean {
  return errors.some(
    ({ keyword, instancePath, params }) =>
      keyword === "dependentRequired" &&
      instancePath === choice.instancePath &&
      keys.includes(params.missingProperty as string),
  );
}

function pathOf(error: ErrorObject, data: unknown): { path: Path; part: "key" | "value" } {
  const path = pointerSteps(error, data);
  if (error.keyword === "additionalProperties") return { path: [...path, unknownKey(error)], part: "key" };
  if (error.keyword === "propertyNames")
    return { path: [...path, String(error.params.propertyName)], part: "key" };
  if (error.keyword === "required" || error.keyword === "dependentRequired") return { path, part: "key" };
  return { path, part: "value" };
}

/** A JSON pointer's steps; a step is a list index exactly where digits follow into a list. */
function pointerSteps(error: ErrorObject, data: unknown): Path {
  return error.instancePath
    .split("/")
    .slice(1)
    .map((step) => step.replaceAll("~1", "/").replaceAll("~0", "~"))
    .map((step, i, steps) => {
      const parent = steps
        .slice(0, i)
        .reduce<unknown>((at, key) => (at as Record<string, unknown>)[key], data);
      return Array.isArray(parent) ? Number(step) : step;
    });
}

function valueRange(doc: SourceDocument, path: Path, error: ErrorObject): TextRange {
  const range = rangeAt(doc, path);
  if (path.length === 0) return firstLine(doc, range);
  // A whole block as squiggle hides the text: where the block itself is wrong, its key shows it.
  return typeof error.data === "object" && error.data !== null ? rangeAt(doc, path, "key") : range;
}

/** What is missing from the whole file is shown at its first line. */
function firstLine(doc: SourceDocument, { start, end }: TextRange): TextRange {
  const newline = doc.text.slice(start, end).search(/\r?\n/);
  return { start, end: newline < 0 ? end : start + newline };
}
