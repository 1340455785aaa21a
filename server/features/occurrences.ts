import type { Location } from "vscode-languageserver-types";
import type { Definition, Reference, SymbolKind } from "../language/symbols.ts";
import { type Model, type OpenDocument, toRange } from "./model.ts";

/** A name as it stands somewhere in the files. */
export interface Occurrence {
  readonly doc: OpenDocument;
  readonly at: Definition | Reference;
  readonly defines: boolean;
}

/** The name under the cursor, if there is one. */
export function nameAt(model: Model, offset: number): Occurrence | undefined {
  const { definitions, references } = model.symbols;
  const holds = ({ range }: Definition | Reference) => offset >= range.start && offset <= range.end;
  const definition = definitions.find(holds);
  if (definition) return { doc: model, at: definition, defines: true };
  const reference = references.find(holds);
  return reference && { doc: model, at: reference, defines: false };
}

/** Names that a shop file may define for its recipes. */
const SHARED: readonly SymbolKind[] = ["ink", "mesh", "size"];

/**
 * Every place that means the same thing as `name`. An ink or a mesh of the shop's is meant by all recipes that use
 * that shop file and do not define one of that name themselves.
 */
export function occurrences(model: Model, { doc, at }: Occurrence): Occurrence[] {
  const { kind, name } = at;
  const inRecipe = (recipe: OpenDocument) => [
    ...definitionsIn(recipe, kind, name),
    ...referencesIn(recipe, kind, name),
  ];
  // An order names what its recipes and its shop file define.
  if (model.source.kind === "order" && (kind === "garment" || kind === "size"))
    return [
      ...inRecipe(model),
      ...(kind === "size" ? (model.shop ? [model.shop] : []) : model.recipes).flatMap(inRecipe),
    ];
  if (!SHARED.includes(kind)) return inRecipe(doc);
  const isShops = doc.source.kind === "shop" || definitionsIn(doc, kind, name).length === 0;
  if (!isShops) return inRecipe(doc);
  const shop = doc.source.kind === "shop" ? doc : model.shop;
  const recipes = model.recipes.filter((recipe) => definitionsIn(recipe, kind, name).length === 0);
  return [
    ...(shop ? [...definitionsIn(shop, kind, name), ...referencesIn(shop, kind, name)] : []),
    ...recipes.flatMap((r) => referencesIn(r, kind, name)),
  ];
}

/** LSP location of an occurrence. */
export function toLocation({ doc, at }: Occurrence): Location {
  return { uri: doc.uri, range: toRange(doc.source, at.range) };
}

function definitionsIn(doc: OpenDocument, kind: SymbolKind, name: string): Occurrence[] {
  return doc.symbols.definitions
    .filter((d) => d.kind === kind && d.name === name)
    .map((at) => ({ doc, at, defines: true }));
}

function referencesIn(doc: OpenDocument, kind: SymbolKind, name: string): Occurrence[] {
  return doc.symbols.references
    .filter((r) => r.kind === kind && r.name === name)
    .map((at) => ({ doc, at, defines: false }));
}
