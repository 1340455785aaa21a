import { spawnSync } from "node:child_process";
import { cpSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";
import { build } from "esbuild";
import { TextDocument } from "vscode-languageserver-textdocument";
import { TestClient, until } from "../lsp/client.ts";
import { longRecipe, TYPED_AT } from "./long-recipe.ts";
import { figures, quantile, type Row } from "./measure.ts";

const root = fileURLToPath(new URL("../..", import.meta.url));
const ROUNDS = 120;
const WARM_UP = 20;
/** Keys come no faster than one that is held down repeats. */
const KEY_MS = 30;

/** From a keystroke to findings, completions and hovers, on a recipe of a thousand lines. */
export async function languageRows(): Promise<Row[]> {
  const inProcess = await measureInProcess();
  const ours = await overStdio("platewright", [join(root, "dist/platewright.js"), "lsp", "--stdio"]);
  const peer = await overStdio("yaml-language-server", [
    join(root, "node_modules/yaml-language-server/bin/yaml-language-server"),
    "--stdio",
  ]);
  return [
    row("keystroke → findings without pixels, 1,000 lines, in process", inProcess, 10),
    row("the same over stdio", ours.findings, 30, peer.findings),
    row("keystroke → completion, 1,000 lines, over stdio", ours.completion, 10, peer.completion),
    row("keystroke → hover, 1,000 lines, over stdio", ours.hover, 10, peer.hover),
  ];
}

function row(what: string, times: readonly number[], target: number, peer?: readonly number[]): Row {
  const beside = peer ? `; yaml-language-server in the same run: ${figures(peer)}` : "";
  return {
    what,
    measured: figures(times) + beside,
    target: `p95 ≤ ${target} ms`,
    met: quantile(times, 0.95) <= target,
  };
}

/** The code as it ships: bundled with the same build of the YAML reader. */
export async function measureInProcess(plateCount?: number): Promise<number[]> {
  const outfile = join(root, "build/bench/in-process.mjs");
  await build({
    entryPoints: [join(root, "test/bench/in-process.ts")],
    bundle: true,
    platform: "node",
    format: "esm",
    external: ["sharp"],
    alias: { yaml: join(root, "node_modules/yaml/browser/index.js") },
    banner: {
      js: "import { createRequire as requireFrom } from 'node:module'; const require = requireFrom(import.meta.url);",
    },
    define: {
      "import.meta.url": JSON.stringify(pathToFileURL(join(root, "test/bench/long-recipe.ts")).href),
    },
    outfile,
  });
  const { stdout, status, stderr } = spawnSync(
    process.execPath,
    [outfile, ...(plateCount === undefined ? [] : [String(plateCount)])],
    { cwd: root, encoding: "utf8" },
  );
  if (status !== 0) throw new Error(stderr);
  return stdout.trim().split("\n").map(Number);
}

interface Times {
  readonly findings: number[];
  readonly completion: number[];
  readonly hover: number[];
}

async function overStdio(name: string, command: readonly string[]): Promise<Times> {
  const folder = mkdtempSync(join(tmpdir(), "platewright-bench-"));
  cpSync(join(root, "samples"), folder, { recursive: true });
  const file = join(folder, "night-garden", "long.sep.yaml");
  const text = longRecipe();
  writeFileSync(file, text);
  const uri = pathToFileURL(file).href;
  const client = new TestClient(command);
  const schema = pathToFileURL(join(root, "schemas/recipe.schema.json")).href;
  client.settings =
    name === "platewright"
      ? { measure: false }
      : { schemas: { [schema]: "*.sep.yaml" }, completion: true, hover: true, validate: true };
  try {
    await client.start(folder, {
      textDocument: {
        publishDiagnostics: { versionSupport: true },
        completion: { completionItem: { snippetSupport: true } },
        hover: {},
      },
      workspace: { configuration: true },
    });
    await client.open(uri, text, name === "platewright" ? "separation-recipe" : "yaml");
    await until(() => (client.published.some((p) => p.uri === uri) ? true : undefined), 60);
    const times: Times = { findings: [], completion: [], hover: [] };
    const document = TextDocument.create(uri, "", 0, text);
    const position = document.positionAt(text.indexOf(TYPED_AT) + TYPED_AT.length);
    for (let i = 0; i < ROUNDS; i++) {
      const range = { start: position, end: { ...position, character: position.character + (i % 2) } };
      const count = client.published.length;
      const start = performance.now();
      await client.change(uri, { range, text: i % 2 === 0 ? "7" : "" });
      await client.publishedAfter(count);
      if (i >= WARM_UP) times.findings.push(performance.now() - start);
      await new Promise((resolve) => setTimeout(resolve, KEY_MS));
    }
    for (const [method, list, needle] of [
      ["textDocument/completion", times.completion, "extra-90:\n    ink: "],
      ["textDocument/hover", times.hover, "extra-90:\n    in"],
    ] as const) {
      const where = document.positionAt(text.indexOf(needle) + needle.length);
      for (let i = 0; i < ROUNDS; i++) {
        const range = { start: position, end: { ...position, character: position.character + (i % 2) } };
        const start = performance.now();
        await client.change(uri, { range, text: i % 2 === 0 ? "7" : "" });
        await client.request(method, { textDocument: { uri }, position: where });
        if (i >= WARM_UP) list.push(performance.now() - start);
        await new Promise((resolve) => setTimeout(resolve, KEY_MS));
      }
    }
    return times;
  } finally {
    client.process.kill();
    rmSync(folder, { recursive: true, force: true });
  }
}
