import type { FoldingRange } from "vscode-languageserver-types";
import { isCollection } from "yaml";
import { writtenEnd } from "../language/cursor.ts";
import { rangeOf } from "../language/document.ts";
import { visitDocument } from "../language/visit.ts";
import { type Model, toPosition } from "./model.ts";

/** Blocks, lists and runs of comments that span several lines. */
export function foldingRanges(model: Model): FoldingRange[] {
  const { source } = model;
  const found: FoldingRange[] = [];
  visitDocument(source, (path, key, node) => {
    if (path.length === 0 || !isCollection(node)) return;
    const at = rangeOf(source, key) ?? rangeOf(source, node);
    if (!at) return;
    const start = toPosition(source, at.start).line;
    const end = toPosition(source, writtenEnd(source, node)).line;
    if (end > start) found.push({ startLine: start, endLine: end });
  });
  return [...found, ...commentRuns(source.text)];
}

function commentRuns(text: string): FoldingRange[] {
  const found: FoldingRange[] = [];
  const lines = text.split("\n");
  let start = -1;
  for (let i = 0; i <= lines.length; i++) {
    const comment = /^\s*#/.test(lines[i] ?? "");
    if (comment && start < 0) start = i;
    if (comment || start < 0) continue;
    if (i - start > 1) found.push({ startLine: start, endLine: i - 1, kind: "comment" });
    start = -1;
  }
  return found;
}
