import type { Position, Range } from "vscode-languageserver-types";
import { positionAt, type SourceDocument } from "../language/document.ts";
import type { Finding, TextRange } from "../language/finding.ts";
import type { ReadingFiles } from "../language/readings/reading-files.ts";
import type { Symbols } from "../language/symbols.ts";
import type { Measurements } from "../render/measurements.ts";

/** A recipe, shop file or order that was read and understood. `source.file` is its URI. */
export interface OpenDocument {
  readonly uri: string;
  readonly source: SourceDocument;
  readonly symbols: Symbols;
}

/**
 * All that a feature may look at: one document with what belongs to it, at one moment. Features are functions of a
 * model and a place in it; they know no connection and change nothing.
 */
export interface Model extends OpenDocument {
  /** The shop file of a recipe or an order. */
  readonly shop: OpenDocument | undefined;
  /** For a shop file, the recipes of the workspace that use it; for a recipe, itself alone; for an order, its recipes. */
  readonly recipes: readonly OpenDocument[];
  /** The measurements that the recipe or its shop file names. */
  readonly readings?: ReadingFiles | undefined;
  /** From the latest picture of the plates; undefined before there is one. */
  readonly measurements: Measurements | undefined;
}

/** The same once the rules have been asked, which takes longer than what most features need. */
export interface CheckedModel extends Model {
  readonly findings: readonly Finding[];
  /** Whether nothing stands in the way of making plates. */
  readonly readable: boolean;
}

/** LSP range of places in the text. */
export function toRange(doc: SourceDocument, { start, end }: TextRange): Range {
  return { start: toPosition(doc, start), end: toPosition(doc, end) };
}

/** The protocol counts lines and UTF-16 units from 0. */
export function toPosition(doc: SourceDocument, offset: number): Position {
  const { line, column } = positionAt(doc, offset);
  return { line: line - 1, character: column - 1 };
}

/** A place beyond the end of its line, or of the text, counts as that end. */
export function toOffset(doc: SourceDocument, { line, character }: Position): number {
  const { lineStarts } = doc.lines;
  const start = lineStarts[line];
  if (start === undefined) return line < 0 || lineStarts.length === 0 ? 0 : doc.text.length;
  const mark = line === 0 && doc.text.startsWith("\ufeff") ? 1 : 0;
  const end = (lineStarts[line + 1] ?? doc.text.length + 1) - 1;
  return Math.min(start + mark + character, Math.max(start, end));
}
