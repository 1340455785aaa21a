import { cpSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";
import { TextDocument } from "vscode-languageserver-textdocument";
import type { PreviewAnswer } from "../../server/features/panel/wire.ts";
import { TestClient } from "../lsp/client.ts";
import { longRecipe, TYPED_AT } from "./long-recipe.ts";
import type { Row } from "./measure.ts";

const root = fileURLToPath(new URL("../..", import.meta.url));
const WARM_UP = 40;
const ROUNDS = 300;

/** How long the language server's thread is held at most, while plates are measured and shown as one types. */
export async function holdRows(): Promise<Row[]> {
  const folder = mkdtempSync(join(tmpdir(), "platewright-bench-"));
  cpSync(join(root, "samples"), folder, { recursive: true });
  const text = longRecipe();
  const file = join(folder, "night-garden", "long.sep.yaml");
  writeFileSync(file, text);
  const uri = pathToFileURL(file).href;
  const noted = join(folder, "noted");
  const client = new TestClient(
    [
      "--require",
      join(root, "test/bench/report-hold.cjs"),
      join(root, "dist/platewright.js"),
      "lsp",
      "--stdio",
    ],
    { BENCH_HOLD_FILE: noted },
  );
  try {
    await client.start(
      folder,
      { textDocument: { publishDiagnostics: { versionSupport: true } } },
      { readArtwork: true },
    );
    await client.open(uri, text);
    await client.findings(uri);
    const document = TextDocument.create(uri, "", 0, text);
    const position = document.positionAt(text.indexOf(TYPED_AT) + TYPED_AT.length);
    for (let i = 0; i < ROUNDS + WARM_UP; i++) {
      if (i === WARM_UP) client.process.kill("SIGUSR2");
      const range = { start: position, end: { ...position, character: position.character + (i % 2) } };
      const version = await client.change(uri, { range, text: i % 2 === 0 ? "7" : "" });
      // A panel asks for what changed, and now and then typing rests long enough for the plates to be measured.
      await client.request<PreviewAnswer<string>>("platewright/preview", { uri, held: { plates: {} } });
      await client.findings(uri, version);
      if (i % 50 === 49) await new Promise((resolve) => setTimeout(resolve, 600));
    }
    await client.stop();
    const { longest, p99 } = JSON.parse(readFileSync(noted, "utf8")) as { longest: number; p99: number };
    return [
      {
        what: `the language server's thread, held at a time: ${ROUNDS} edits of 1,000 lines, plates measured and sent to a panel`,
        measured: `longest ${longest.toFixed(1)} ms, 99 % ${p99.toFixed(1)} ms`,
        target: "never over 10 ms",
        met: longest <= 10,
      },
    ];
  } finally {
    client.process.kill();
    rmSync(folder, { recursive: true, force: true });
  }
}
