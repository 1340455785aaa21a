/**
 * `npm run soak -- --edits 10000 --seed 7`: types in a recipe with its panel open, and watches the memory of the
 * server, of the process that makes its pictures, and of the session. Exit status 1 where one grows after the first
 * thousand edits, or where the server says something else in the end than one that has just been started.
 */
import { readFileSync, rmSync } from "node:fs";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { parseArgs } from "node:util";
import { TextDocument } from "vscode-languageserver-textdocument";
import { PanelSession } from "../../client/panel-session.ts";
import { ALL_RULES } from "../../server/rules/all.ts";
import { SMALL_RECIPE, smallJob } from "../client/panel/jobs.ts";
import { playedEditor } from "../client/panel/played-editor.ts";
import { TestClient, until } from "../lsp/client.ts";
import { AT_A_PLACE, OF_THE_WHOLE, otherQuestions } from "../lsp/questions.ts";
import { nextEdit } from "../lsp/typing.ts";
import { random } from "../property.ts";

const { values } = parseArgs({
  options: {
    edits: { type: "string", default: "10000" },
    seed: { type: "string", default: String(Date.now() % 2 ** 31) },
  },
});
const [edits, seed] = [Number(values.edits), Number(values.seed)];
/** Edits that fill caches. */
const WARM_UP = Math.min(1000, edits / 4);
const EVERY = Math.max(10, Math.floor(edits / 100));
/** Resident memory goes up and down with the collector: growth is beyond this. */
const ALLOWED_MB = 40;

const next = random(seed);
const folder = await smallJob();
const uri = pathToFileURL(join(folder, "job.sep.yaml")).href;
const client = new TestClient();
await client.start(folder);
await client.open(uri, SMALL_RECIPE);
let document = TextDocument.create(uri, "separation-recipe", 1, SMALL_RECIPE);
const editor = playedEditor(
  uri,
  () => client,
  () => document.version,
);
const session = new PanelSession(editor);
await session.received({ kind: "ready" });

/** Half of the edits change a number of a sound recipe, some break it, and each tenth puts it right again. */
async function edit(i: number): Promise<void> {
  if (i % 10 === 9) return replaceAll(SMALL_RECIPE);
  if (i % 10 < 5) {
    const within = 5 + Math.floor(next() * 40);
    return replaceAll(SMALL_RECIPE.replace(/within: \d+/, `within: ${within}`));
  }
  const change = nextEdit(document, next);
  document = TextDocument.update(document, [change], document.version + 1);
  await client.change(uri, change);
  session.textChanged();
}

async function replaceAll(text: string): Promise<void> {
  document = TextDocument.create(uri, "separation-recipe", document.version + 1, text);
  await client.change(uri, { text });
  session.textChanged();
}

interface Sample {
  readonly edits: number;
  readonly server: number;
  readonly pictures: number;
  readonly session: number;
}
const samples: Sample[] = [];
let failed = 0;
console.log(`seed ${seed}, ${edits} edits`);
for (let i = 0; i < edits; i++) {
  await edit(i);
  const position = document.positionAt(Math.floor(next() * document.getText().length));
  const questions: [string, object][] = [
    ...(i % 10 === 0 ? [[AT_A_PLACE[(i / 10) % AT_A_PLACE.length]!, { position }] as [string, object]] : []),
    ...(i % 25 === 0 ? [[OF_THE_WHOLE[(i / 25) % OF_THE_WHOLE.length]!, {}] as [string, object]] : []),
    ...(i % 40 === 0 ? otherQuestions(position) : []),
  ];
  for (const [method, params] of questions)
    await client
      .request(`textDocument/${method}`, { textDocument: { uri }, ...params })
      .catch(() => failed++);
  if (i % 10 === 9) {
    // The panel shows the sound text again before it is spoilt anew.
    const { version } = document;
    await until(() => editor.posted.find((m) => m.kind === "preview" && m.result.version >= version));
    await client.findings(uri);
    client.published.length = 0;
  }
  if (i % EVERY === EVERY - 1) samples.push(sample(i + 1));
}

const fresh = new TestClient();
fresh.settings = { measure: false };
await fresh.start(folder);
await replaceAll(SMALL_RECIPE.replace("ink: leaf,", "ink: laef,"));
await fresh.open(uri, document.getText());
// What pixels say comes when typing rests, which it may have done or not.
const ofPixels = new Set(ALL_RULES.filter(({ looksAt }) => looksAt === "pixels").map(({ id }) => id));
const said = async (server: TestClient) =>
  JSON.stringify((await server.findings(uri)).filter(({ code }) => !ofPixels.has(String(code))));
const alike = (await said(client)) === (await said(fresh));
session.dispose();
for (const ended of [client, fresh]) await ended.stop();
rmSync(folder, { recursive: true, force: true });

let grown = 0;
for (const part of ["server", "pictures", "session"] as const) {
  const of = (from: number, to: number) =>
    median(samples.filter((s) => s.edits > from && s.edits <= to).map((s) => s[part]));
  const early = of(WARM_UP, WARM_UP + (edits - WARM_UP) / 3);
  const late = of(edits - (edits - WARM_UP) / 3, edits);
  const most = Math.max(...samples.map((s) => s[part]));
  if (late > early + ALLOWED_MB) grown++;
  console.log(
    `${part}: ${early.toFixed(0)} MB in the first third after ${WARM_UP} edits, ${late.toFixed(0)} MB in the last; at most ${most.toFixed(0)} MB`,
  );
}
console.log(
  `${failed} questions failed; in the end findings ${alike ? "as" : "NOT as"} of a server just started`,
);
process.exit(grown > 0 || failed > 0 || !alike ? 1 : 0);

function sample(at: number): Sample {
  globalThis.gc?.();
  const server = client.process.pid!;
  return {
    edits: at,
    server: residentMb(server),
    pictures: childrenOf(server).reduce((sum, pid) => sum + residentMb(pid), 0),
    session: process.memoryUsage().heapUsed / 1e6,
  };
}

function residentMb(pid: number): number {
  const status = readFileSync(`/proc/${pid}/status`, "utf8");
  return Number(/^VmRSS:\s+(\d+) kB$/m.exec(status)?.[1] ?? Number.NaN) / 1024;
}

function childrenOf(pid: number): number[] {
  return readFileSync(`/proc/${pid}/task/${pid}/children`, "utf8")
    .trim()
    .split(/\s+/)
    .filter(Boolean)
    .map(Number);
}

function median(figures: readonly number[]): number {
  return [...figures].sort((a, b) => a - b)[figures.length >> 1] ?? Number.NaN;
}
