import { expect } from "vitest";
import { TextDocument } from "vscode-languageserver-textdocument";
import type { Range, TextEdit, WorkspaceEdit } from "vscode-languageserver-types";
import type { CheckedModel, OpenDocument } from "../../server/features/model.ts";
import { type DocumentKind, parseDocument } from "../../server/language/document.ts";
import { assembleProject } from "../../server/language/project.ts";
import { symbolsOf } from "../../server/language/symbols.ts";
import type { Measurements } from "../../server/render/measurements.ts";
import { RULE_GROUPS } from "../../server/rules/all.ts";
import { checkProject, isReadable } from "../../server/rules/check.ts";
import type { Rule } from "../../server/rules/rule.ts";

export const RECIPE = "file:///jobs/moth/moth.sep.yaml";
export const SHOP = "file:///jobs/back-lane.shop.yaml";

const STRUCTURE = RULE_GROUPS["The recipe's structure"]!;

/** A recipe without a fault, small enough to be read at a glance. */
export const SOUND = `recipe: 1
artwork: { file: art.png, width: 2 in }
garments:
  black: { colour: "#17171a" }
inks:
  white: { colour: "#f8f8f4", opacity: 92% }
  ember: { colour: "#d8431f", opacity: 70% }
plates:
  base: { ink: white, purpose: underbase, extract: { artwork: opaque } }
  ember: { ink: ember, extract: { hue: [350, 50] } }
setups:
  dark: { garments: [black], order: [base, flash, ember] }
`;

/** The sound recipe with one piece of it replaced. */
export function soundBut(piece: string, by: string, text = SOUND): string {
  expect(text.split(piece).length, `"${piece}" stands in the recipe once`).toBe(2);
  return text.replace(piece, () => by);
}

/** What belongs to a document besides its text. */
export interface Beside {
  readonly shop?: string;
  /** Further recipes that use the same shop file, by URI. */
  readonly recipes?: Readonly<Record<string, string>>;
  readonly measurements?: Measurements;
  /** The rules that are asked; those on the recipe's structure where not said. */
  readonly rules?: readonly Rule[];
  /** The document is the shop file itself, or an order of `recipes`, which it names by their files. */
  readonly kind?: DocumentKind;
}

export const ORDER = "file:///jobs/moth/moth.order.yaml";

/** A model with the places that its text marks: `|` a cursor, «» ranges. */
export interface Marked {
  readonly model: CheckedModel;
  readonly at: number;
  readonly ranges: readonly Range[];
}

export function read(marked: string, beside: Beside = {}): Marked {
  const marks: { start: number; end: number }[] = [];
  let at = 0;
  let text = "";
  for (const char of marked) {
    if (char === "|") at = text.length;
    else if (char === "«") marks.push({ start: text.length, end: text.length });
    else if (char === "»") marks.findLast(({ start, end }) => start === end)!.end = text.length;
    else text += char;
  }
  const doc = open({ shop: SHOP, order: ORDER, recipe: RECIPE }[beside.kind ?? "recipe"], text);
  const shop = beside.shop === undefined ? undefined : open(SHOP, beside.shop);
  const others = Object.entries(beside.recipes ?? {}).map(([uri, recipe]) => open(uri, recipe));
  const named = new Map(others.map((one) => [one.uri.split("/").at(-1)!, one.source]));
  const project = assembleProject(doc.source, shop?.source, true, undefined, named);
  const findings = checkProject(project, { rules: beside.rules ?? STRUCTURE });
  const model: CheckedModel = {
    ...doc,
    shop,
    recipes: doc.source.kind === "recipe" ? [doc, ...others] : others,
    findings,
    readable: isReadable(findings),
    measurements: beside.measurements,
  };
  const plain = TextDocument.create(doc.uri, "yaml", 1, text);
  const ranges = marks.map(({ start, end }) => ({
    start: plain.positionAt(start),
    end: plain.positionAt(end),
  }));
  return { model, at, ranges };
}

export function open(uri: string, text: string): OpenDocument {
  const source = parseDocument(uri, text);
  return { uri, source, symbols: symbolsOf(source) };
}

/** A document's text after the edits, as an editor applies them: it refuses edits that overlap. */
export function edited(model: OpenDocument, edit: WorkspaceEdit | readonly TextEdit[] | undefined): string {
  const edits = edit && "changes" in edit ? (edit.changes?.[model.uri] ?? []) : ((edit ?? []) as TextEdit[]);
  return TextDocument.applyEdits(TextDocument.create(model.uri, "yaml", 1, model.source.text), [...edits]);
}

/** The characters of a range. */
export function textAt(model: OpenDocument, range: Range | undefined): string | undefined {
  return range && TextDocument.create(model.uri, "yaml", 1, model.source.text).getText(range);
}

/** The range of the cursor itself. */
export function cursor({ model, at }: Marked): Range {
  const position = TextDocument.create(model.uri, "yaml", 1, model.source.text).positionAt(at);
  return { start: position, end: position };
}
