import type { DocumentHighlight, Location } from "vscode-languageserver-types";
import { type Model, toRange } from "./model.ts";
import { nameAt, occurrences, toLocation } from "./occurrences.ts";

/** Where the name under the cursor is defined: in the recipe, or an ink in the shop file. */
export function definition(model: Model, offset: number): Location[] {
  const name = nameAt(model, offset);
  return name
    ? occurrences(model, name)
        .filter(({ defines }) => defines)
        .map(toLocation)
    : [];
}

/** Every use of the name under the cursor. */
export function references(model: Model, offset: number, includeDefinition: boolean): Location[] {
  const name = nameAt(model, offset);
  if (!name) return [];
  return occurrences(model, name)
    .filter(({ defines }) => includeDefinition || !defines)
    .map(toLocation);
}

// DocumentHighlightKind of the protocol: Read = 2, Write = 3.
const READ = 2;
const WRITE = 3;

/** The name under the cursor wherever it stands in this document. */
export function documentHighlight(model: Model, offset: number): DocumentHighlight[] {
  const name = nameAt(model, offset);
  if (!name) return [];
  return occurrences(model, name)
    .filter(({ doc }) => doc.uri === model.uri)
    .map(({ doc, at, defines }) => ({ range: toRange(doc.source, at.range), kind: defines ? WRITE : READ }));
}
