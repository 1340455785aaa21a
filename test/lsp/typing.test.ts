import { cpSync, mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";
import { expect, it } from "vitest";
import { TextDocument } from "vscode-languageserver-textdocument";
import { random as randomNumbers } from "../property.ts";
import { TestClient } from "./client.ts";
import { AT_A_PLACE, expectInside, OF_THE_WHOLE, otherQuestions } from "./questions.ts";
import { nextEdit } from "./typing.ts";

const samples = fileURLToPath(new URL("../../samples/", import.meta.url));
/** `npm run soak` makes 10,000, with a panel open. */
const EDITS = 1_500;

it(`takes the demo typed, deleted and pasted at random, ${EDITS} edits, and ends as if the text had just been opened`, async () => {
  const folder = mkdtempSync(join(tmpdir(), "platewright-typing-"));
  cpSync(samples, folder, { recursive: true });
  const typed = pathToFileURL(join(folder, "night-garden", "typed.sep.yaml")).href;
  const opened = pathToFileURL(join(folder, "night-garden", "opened.sep.yaml")).href;
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
      const change = nextEdit(document, random);
      document = TextDocument.update(document, [change], i + 2);
      await client.change(typed, change);
      const position = document.positionAt(Math.floor(random() * (document.getText().length + 1)));
      if (i % 10 === 0) await ask(AT_A_PLACE[(i / 10) % AT_A_PLACE.length]!, { position });
      if (i % 25 === 0) await ask(OF_THE_WHOLE[(i / 25) % OF_THE_WHOLE.length]!, {});
      if (i % 40 === 0) for (const [method, params] of otherQuestions(position)) await ask(method, params);
      if (i % 500 === 0) expectInside(await client.findings(typed), document);
    }
    expect(failed).toBe(0);

    const last = await client.findings(typed);
    await client.open(opened, document.getText());
    expect(last).toEqual(await client.findings(opened));
    for (const method of OF_THE_WHOLE) {
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
