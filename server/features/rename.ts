import type { Range, TextEdit, WorkspaceEdit } from "vscode-languageserver-types";
import { PRESS_STEPS } from "../language/symbols.ts";
import { parseName, parseSizeName } from "../language/values/name.ts";
import { type Model, toRange } from "./model.ts";
import { nameAt, occurrences } from "./occurrences.ts";
import { plainScalar } from "./scalar.ts";

/** A rename that cannot be done, with the sentence to say so. */
export class RenameError extends Error {
  constructor(message: string) {
    super(message);
    this.name = "RenameError";
  }
}

/** What would be renamed at this place, if anything. */
export function prepareRename(
  model: Model,
  offset: number,
): { range: Range; placeholder: string } | undefined {
  const name = nameAt(model, offset);
  if (!name || !occurrences(model, name).some(({ defines }) => defines)) return undefined;
  return { range: toRange(model.source, name.at.range), placeholder: name.at.name };
}

/** The edits that give the name under the cursor another, in every file that means it. Throws RenameError. */
export function rename(model: Model, offset: number, newName: string): WorkspaceEdit {
  const name = nameAt(model, offset);
  if (!name) throw new RenameError("there is no name to rename here");
  const { kind, name: oldName } = name.at;
  const read = (kind === "size" ? parseSizeName : parseName)(newName);
  if (!read.ok) throw new RenameError(read.problem);
  if (kind === "plate" && PRESS_STEPS.includes(newName)) {
    throw new RenameError(`"${newName}" is what an order calls a step of the press`);
  }
  const places = occurrences(model, name);
  for (const doc of new Set(places.map((place) => place.doc))) {
    const taken = doc.symbols.definitions.some((d) => d.kind === kind && d.name === newName);
    if (taken && newName !== oldName)
      throw new RenameError(`there is already ${kind === "ink" ? "an" : "a"} ${kind} "${newName}"`);
    // An ink of the recipe's own goes before one in the library: other plates would change their ink unasked.
    const shelved = kind === "ink" && doc !== model.shop && newName !== oldName;
    if (shelved && doc.symbols.references.some((r) => r.kind === kind && r.name === newName))
      throw new RenameError(`"${newName}" is already used here, for an ink of the shop's ink library`);
  }
  const changes: Record<string, TextEdit[]> = {};
  const seen = new Set<string>();
  for (const { doc, at } of places) {
    // Several aliases may lead to one scalar.
    const place = `${doc.uri}#${at.range.start}`;
    if (seen.has(place)) continue;
    seen.add(place);
    changes[doc.uri] ??= [];
    changes[doc.uri]!.push({ range: toRange(doc.source, at.range), newText: plainScalar(newName) });
  }
  return { changes };
}
