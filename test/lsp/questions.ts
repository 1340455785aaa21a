import { expect } from "vitest";
import type { Diagnostic, Position } from "vscode-languageserver-protocol";
import type { TextDocument } from "vscode-languageserver-textdocument";
import type { TestClient } from "./client.ts";

/** Every request that an editor makes of a place in a document, or of the whole of it. */
export const AT_A_PLACE = ["completion", "hover", "definition", "documentHighlight", "prepareRename"];
export const OF_THE_WHOLE = [
  "documentSymbol",
  "documentColor",
  "documentLink",
  "foldingRange",
  "semanticTokens/full",
  "codeLens",
];

/** What takes a range, several places or options. */
export function otherQuestions(position: Position): [method: string, params: object][] {
  const range = { start: position, end: position };
  return [
    ["codeAction", { range, context: { diagnostics: [] } }],
    ["inlayHint", { range }],
    ["selectionRange", { positions: [position] }],
    ["formatting", { options: { tabSize: 2, insertSpaces: true } }],
  ];
}

/** Asks all of it of one document; gives the methods that failed, each with its reason. */
export async function askAll(client: TestClient, uri: string, position: Position): Promise<string[]> {
  const failed: string[] = [];
  const questions: [string, object][] = [
    ...AT_A_PLACE.map((method): [string, object] => [method, { position }]),
    ...OF_THE_WHOLE.map((method): [string, object] => [method, {}]),
    ...otherQuestions(position),
  ];
  await Promise.all(
    questions.map(([method, params]) =>
      client
        .request(`textDocument/${method}`, { textDocument: { uri }, ...params })
        .catch((error: Error) => failed.push(`${method}: ${error.message}`)),
    ),
  );
  return failed;
}

export function expectInside(findings: readonly Diagnostic[], document: TextDocument): void {
  const end = document.positionAt(document.getText().length);
  for (const { range } of findings) {
    for (const { line, character } of [range.start, range.end]) {
      expect(line < end.line || (line === end.line && character <= end.character)).toBe(true);
    }
    expect(document.offsetAt(range.start)).toBeLessThanOrEqual(document.offsetAt(range.end));
  }
}
