import { cpSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";
import { TextDocument } from "vscode-languageserver-textdocument";
import type { PreviewResult } from "../../server/wire/panel.ts";
import { TestClient } from "../lsp/client.ts";
import { longRecipe, TYPED_AT } from "./long-recipe.ts";
import type { Row } from "./measure.ts";

const root = fileURLToPath(new URL("../..", import.meta.url));
const WARM_UP = 40;
const ROUNDS = 300;

/** How long the language server's thread is held at a time, as one types. */
export async function holdRows(): Promise<Row[]> {
  const demo = readFileSync(join(root, "samples/night-garden/night-garden.sep.yaml"), "utf8");
  return [
    row(`${ROUNDS} edits of 1,000 lines`, await held(longRecipe(), TYPED_AT, false)),
    row(
      `${ROUNDS} edits of the demo, plates measured and sent to a panel`,
      await held(demo, "near: lab(82 -22 9", true),
    ),
  ];
}

interface Hold {
  readonly longest: number;
  readonly p99: number;
}

function row(what: string, { longest, p99 }: Hold): Row {
  return {
    what: `the language server's thread, held at a time: ${what}`,
    measured: `longest ${longest.toFixed(1)} ms, 99 % ${p99.toFixed(1)} ms`,
    target: "never over 10 ms",
    met: longest <= 10,
  };
}

async function held(text: string, typedAt: string, pixels: boolean): Promise<Hold> {
  const folder = mkdtempSync(join(tmpdir(), "platewright-bench-"));
  cpSync(join(root, "samples"), folder, { recursive: true });
  const file = join(folder, "night-garden", "typed.sep.yaml");
  writeFileSync(file, text);
  const uri = pathToFileURL(file).href;
  const noted = join(folder, "noted");
  const reporter = join(root, "test/bench/report-hold.cjs");
  const client = new TestClient(
    ["--require", reporter, join(root, "dist/platewright.js"), "lsp", "--stdio"],
    { BENCH_HOLD_FILE: noted },
  );
  client.settings = { measure: pixels };
  try {
    const capabilities = { textDocument: { publishDiagnostics: { versionSupport: true } } };
    await client.start(folder, capabilities, { readArtwork: true });
    await client.open(uri, text);
    await client.findings(uri);
    const document = TextDocument.create(uri, "", 0, text);
    const position = document.positionAt(text.indexOf(typedAt) + typedAt.length);
    // As a panel tells what it holds already.
    let held: { artwork?: string; plates: Record<string, string> } = { plates: {} };
    for (let i = 0; i < ROUNDS + WARM_UP; i++) {
      if (i === WARM_UP) client.process.kill("SIGUSR2");
      const range = { start: position, end: { ...position, character: position.character + (i % 2) } };
      const version = await client.change(uri, { range, text: i % 2 === 0 ? "7" : "" });
      if (pixels) {
        const { picture } = await client.request<PreviewResult<string>>("platewright/preview", { uri, held });
        if (!picture) throw new Error("no picture");
        const plates = picture.plates.map(({ name, key }) => [name, key] as const);
        held = { artwork: picture.artwork.key, plates: Object.fromEntries(plates) };
        // Typing rests now and then, long enough for the plates to be measured.
        if (i % 50 === 49) await new Promise((resolve) => setTimeout(resolve, 600));
      }
      await client.findings(uri, version);
    }
    await client.stop();
    return JSON.parse(readFileSync(noted, "utf8")) as Hold;
  } finally {
    client.process.kill();
    rmSync(folder, { recursive: true, force: true, maxRetries: 5 });
  }
}
