import { readFileSync } from "node:fs";
import type { TextDocumentContentChangeEvent } from "vscode-languageserver-protocol";
import type { TextDocument } from "vscode-languageserver-textdocument";

const demo = readFileSync(
  new URL("../../samples/night-garden/night-garden.sep.yaml", import.meta.url),
  "utf8",
);

const PASTED = [
  "  new:\n    ink: ",
  "{ plate: ",
  "[1, 2]",
  "\n",
  "- ",
  "#",
  '"',
  "&a ",
  "*a",
  ": ",
  "💡",
  "\t",
  "order: [base, flash]",
  "}",
  "]",
];

/** Mostly the next character of the demo at the end of the text; else a deletion, a word put somewhere, or a paste. */
export function nextEdit(document: TextDocument, random: () => number): TextDocumentContentChangeEvent {
  const { length } = document.getText();
  const kind = random();
  if (kind < 0.8) {
    const at = document.positionAt(length);
    // Where random edits have made it longer than the demo, it starts over.
    return { range: { start: at, end: at }, text: demo[length % demo.length]! };
  }
  const start = Math.floor(random() * (length + 1));
  const end = kind < 0.9 ? Math.min(length, start + Math.floor(random() * 12)) : start;
  const text = kind < 0.9 ? "" : PASTED[Math.floor(random() * PASTED.length)]!;
  return { range: { start: document.positionAt(start), end: document.positionAt(end) }, text };
}
