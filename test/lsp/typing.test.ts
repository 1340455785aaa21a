import { cpSync, mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";
import { expect, it } from "vitest";
import type { Diagnostic, TextDocumentContentChangeEvent } from "vscode-languageserver-protocol";
import { TextDocument } from "vscode-languageserver-textdocument";
import { random as randomNumbers } from "../property.ts";
import { TestClient } from "./client.ts";

const samples = fileURLToPath(new URL("../../samples/", import.meta.url));
const EDITS = 10_000;
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

/** Every request that an editor makes of a place in a document, or of the whole of it. */
const AT_A_PLACE = ["completion", "hover", "definition", "documentHighlight", "prepareRename"];
const OF_THE_WHOLE = [
  "documentSymbol",
  "documentColor",
  "documentLink",
  "foldingRange",
  "semanticTokens/full",
  "codeLens",
];

it(`takes the demo typed, deleted and pasted at random, ${EDITS} edits, and ends as if the text had just been opened`, async () => {
  const folder = mkdtempSync(join(tmpdir(), "platewright-typing-"));
  cpSync(samples, folder, { recursive: true });
  const typed = pathToFileURL(join(folder, "night-garden", "typed.sep.yaml")).href;
  const opened = pathToFileURL(join(folder, "night-garden", "opened.sep.yaml")).href;
  const demo = readFileSync(join(samples, "night-garden", "night-garden.sep.yaml"), "utf8");
  const client = new TestClient();
  client.settings = { measure: false };
  try {
    await client.start(folder);
    await client.open(typed, "");
    const random = randomNumbers(7);
    let document = TextDocument.create(typed, "", 1, "");
    let failed = 0;
    const ask = (method: string, params: object) =>
      client
        .request(`textDocument/${method}`, { textDocument: { uri: typed }, ...params })
        .catch(() => failed++);

    for (let i = 0; i < EDITS; i++) {
      const change = nextEdit(document, demo, random);
      document = TextDocument.update(document, [change], i + 2);
      await client.change(typed, change);
      const position = document.positionAt(Math.floor(random() * (document.getText().length + 1)));
      if (i % 10 === 0) await ask(AT_A_PLACE[(i / 10) % AT_A_PLACE.length]!, { position });
      if (i % 25 === 0) await ask(OF_THE_WHOLE[(i / 25) % OF_THE_WHOLE.length]!, {});
      if (i % 40 === 0) {
        const range = { start: position, end: position };
        await ask("codeAction", { range, context: { diagnostics: [] } });
        await ask("inlayHint", { range });
        await ask("selectionRange", { positions: [position] });
        await ask("formatting", { options: { tabSize: 2, insertSpaces: true } });
      }
      if (i % 500 === 0) expectInside(await client.findings(typed), document);
    }
    expect(failed).toBe(0);

    const last = await client.findings(typed);
    await client.open(opened, document.getText());
    expect(last).toEqual(await client.findings(opened));
    for (const method of [...OF_THE_WHOLE]) {
      const of = (uri: string) => client.request(`textDocument/${method}`, { textDocument: { uri } });
      const plain = (answer: unknown) => JSON.stringify(answer).replaceAll(opened, typed);
      expect(plain(await of(typed)), method).toBe(plain(await of(opened)));
    }
  } finally {
    client.connection.dispose();
    client.process.kill();
    rmSync(folder, { recursive: true, force: true });
  }
}, 240_000);

/** Mostly the next character of the demo at the end of the text; else a deletion, a word put somewhere, or a paste. */
function nextEdit(
  document: TextDocument,
  demo: string,
  random: () => number,
): TextDocumentContentChangeEvent {
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

function expectInside(findings: readonly Diagnostic[], document: TextDocument): void {
  const end = document.positionAt(document.getText().length);
  for (const { range } of findings) {
    for (const { line, character } of [range.start, range.end]) {
      expect(line < end.line || (line === end.line && character <= end.character)).toBe(true);
    }
    expect(document.offsetAt(range.start)).toBeLessThanOrEqual(document.offsetAt(range.end));
  }
}
