import { fork } from "node:child_process";
import { createHash } from "node:crypto";
import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";
import { TextDocument } from "vscode-languageserver-textdocument";
import { PanelSession } from "../../client/panel-session.ts";
import { Measurer } from "../../server/lsp/measurer.ts";
import { LEDGER_NAME } from "../../server/output/ledger.ts";
import { ended, putJob, RECIPE, started } from "../cli/program.ts";
import { SMALL_RECIPE, smallJob } from "../client/panel/jobs.ts";
import { playedEditor } from "../client/panel/played-editor.ts";
import { TestClient, until } from "../lsp/client.ts";
import { nextEdit } from "../lsp/typing.ts";
import { random } from "../property.ts";

/** What came of a run of operations with random kills in it. */
export interface Outcome {
  readonly operations: number;
  readonly kills: number;
  /** Operations that gave what they give without a kill; the others said in one line that they could not. */
  readonly done: number;
  /** Whatever else happened. None is wanted. */
  readonly losses: readonly string[];
}

const MEASURES = fileURLToPath(new URL("../../dist/measure-process.js", import.meta.url));

/** The process that reads artwork is killed while it is asked: the question fails in one line, the next is answered. */
export async function measuringKilled(operations: number, seed: number): Promise<Outcome> {
  const next = random(seed);
  const folder = await smallJob();
  const measurer = new Measurer(MEASURES);
  const ask = (recipe: string) =>
    measurer
      .measure(
        { recipe, shop: undefined, readings: undefined, artworkFile: join(folder, "art.png") },
        new AbortController().signal,
      )
      .then((measured) => JSON.stringify([...measured.measurements.plates]));
  const recipes = [10, 20, 30].map((within) => SMALL_RECIPE.replace("within: 10", `within: ${within}`));
  const losses: string[] = [];
  let [kills, done] = [0, 0];
  try {
    const undisturbed: string[] = [];
    for (const recipe of recipes) undisturbed.push(await ask(recipe));
    for (let i = 0; i < operations; i++) {
      const which = Math.floor(next() * recipes.length);
      const asked = ask(recipes[which]!).then(
        (answer) => (answer === undisturbed[which] ? "done" : `operation ${i}: another answer`),
        ({ message }: Error) =>
          message === "the process that reads artwork stopped; it starts again at the next change"
            ? "said"
            : `operation ${i}: ${message}`,
      );
      if (next() < 0.4) {
        await pause(next() * 60);
        if (measurer.pid !== undefined) {
          process.kill(measurer.pid, "SIGKILL");
          kills++;
        }
      }
      const outcome = await asked;
      if (outcome === "done") done++;
      else if (outcome !== "said") losses.push(outcome);
    }
    if ((await ask(recipes[0]!)) !== undisturbed[0]) losses.push("after all: another answer");
  } finally {
    measurer.dispose();
    rmSync(folder, { recursive: true, force: true });
  }
  return { operations, kills, done, losses };
}

/**
 * The language server is killed while its user types with a panel open. The editor, which holds the text, starts it
 * again: findings and picture are those of the text as it stands, and the file on disk is as it was saved.
 */
export async function serverKilled(operations: number, seed: number): Promise<Outcome> {
  const next = random(seed);
  const folder = await smallJob();
  const file = join(folder, "job.sep.yaml");
  const uri = pathToFileURL(file).href;
  const saved = readFileSync(file, "utf8");
  let document = TextDocument.create(uri, "separation-recipe", 1, saved);
  const losses: string[] = [];
  let [kills, done] = [0, 0];

  const start = async () => {
    const client = new TestClient();
    client.settings = { measure: false };
    await client.start(folder);
    await client.open(uri, document.getText());
    return client;
  };
  let client = await start();
  const editor = playedEditor(
    uri,
    () => client,
    () => document.version,
  );
  const session = new PanelSession(editor);
  await session.received({ kind: "ready" });

  for (let i = 0; i < operations; i++) {
    const change = nextEdit(document, next);
    document = TextDocument.update(document, [change], document.version + 1);
    const wanted = ["completion", "hover", "documentSymbol"][i % 3]!;
    const position = document.positionAt(Math.floor(next() * document.getText().length));
    const asked = client
      .change(uri, change)
      .then(() => client.request(`textDocument/${wanted}`, { textDocument: { uri }, position }))
      .then(
        () => done++,
        () => {},
      );
    session.textChanged();
    if (next() < 0.15) {
      await pause(next() * 30);
      client.process.kill("SIGKILL");
      kills++;
      await asked;
      client = await start();
      session.filesChanged();
    }
    await asked;
  }
  // What the server says now is what one says that was never killed.
  const text = SMALL_RECIPE.replace("ink: leaf,", "ink: laef,");
  for (const last of [document.getText(), text]) {
    document = TextDocument.create(uri, "separation-recipe", document.version + 1, last);
    await client.change(uri, { text: last });
    const said = JSON.stringify(await client.findings(uri));
    const other = new TestClient();
    other.settings = { measure: false };
    await other.start(folder);
    await other.open(uri, last);
    if (said !== JSON.stringify(await other.findings(uri))) losses.push("findings of another text");
    await other.stop();
  }
  document = TextDocument.create(uri, "separation-recipe", document.version + 1, SMALL_RECIPE);
  const version = await client.change(uri, { text: SMALL_RECIPE });
  editor.version = () => version;
  session.textChanged();
  await until(() =>
    editor.posted.find((m) => m.kind === "preview" && m.result.version === version && m.result.job),
  ).catch(() => losses.push("the panel shows nothing"));
  if (readFileSync(file, "utf8") !== saved) losses.push("the file on disk was changed");
  session.dispose();
  await client.stop();
  rmSync(folder, { recursive: true, force: true });
  return { operations, kills, done, losses };
}

/** The same in the package, where it reads with sharp's WebAssembly build. */
const PACKAGED = fileURLToPath(new URL("../../build/extension/dist/measure-process.js", import.meta.url));
/** Who has not ended by then never will. */
const END_MS = 30_000;

/** The server is gone while the packaged process that reads artwork is at work: that one ends too, wherever it is. */
export async function serverGone(operations: number, seed: number): Promise<Outcome> {
  const next = random(seed);
  const folder = await smallJob();
  const work = { recipe: SMALL_RECIPE, shop: undefined, artworkFile: join(folder, "art.png") };
  const losses: string[] = [];
  let [kills, done] = [0, 0];
  const started = () => {
    const child = fork(PACKAGED, { stdio: ["ignore", "ignore", "ignore", "ipc"], serialization: "advanced" });
    const end = new Promise<boolean>((resolve) => child.once("exit", () => resolve(true)));
    const answer = new Promise<void>((resolve) => child.on("message", () => resolve(void done++)));
    child.send({ kind: "measure", id: 1, work });
    return { child, end, answer };
  };
  try {
    // How long an answer takes, starting included.
    const began = performance.now();
    const undisturbed = started();
    await undisturbed.answer;
    const lasts = performance.now() - began;
    undisturbed.child.disconnect();
    await undisturbed.end;
    for (let i = 0; i < operations; i++) {
      const { child, end } = started();
      await pause(lasts * (0.1 + next()));
      child.disconnect();
      kills++;
      if (await Promise.race([end, pause(END_MS).then(() => false)])) continue;
      losses.push(`operation ${i}: it goes on without a server`);
      child.kill("SIGKILL");
    }
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
  return { operations, kills, done, losses };
}

const WRITERS: readonly (readonly string[])[] = [
  ["plates", "job.sep.yaml", "--out", "out"],
  ["films", "job.sep.yaml", "--setup", "dark", "--out", "out", "--date", "2026-01-02"],
  ["ticket", "job.sep.yaml", "--setup", "dark", "--out", "out/ticket.html", "--date", "2026-01-02"],
];

/**
 * Programs that write are killed at any moment, in a folder where an earlier recipe's files stand: each file under a
 * final name is whole, of the one recipe or the other, and the next run takes them for its own.
 */
export async function writersKilled(operations: number, seed: number): Promise<Outcome> {
  const next = random(seed);
  const top = mkdtempSync(join(tmpdir(), "platewright-killed-"));
  const losses: string[] = [];
  let [kills, done] = [0, 0];
  try {
    const versions = [
      RECIPE,
      RECIPE.replace("hue: [20, 60]", "hue: [10, 60]").replace("Two halves", "Two half"),
    ];
    // What whole files are, by name, and how long each program takes.
    const whole = new Map<string, Set<string>>();
    const lasts: number[] = [];
    for (const [v, text] of versions.entries()) {
      const folder = await putJob(join(top, `whole-${v}`), text);
      // The ticket first: it tells more once the films lie beside it.
      for (const w of [2, 0, 1, 2]) {
        const began = performance.now();
        const { status, err } = await ended(started(folder, WRITERS[w]!));
        if (status !== 0) throw new Error(err);
        lasts[w] = performance.now() - began;
        for (const [name, digest] of digests(join(folder, "out")))
          whole.set(name, (whole.get(name) ?? new Set()).add(digest));
      }
    }
    const folder = await putJob(join(top, "job"), versions[0]);
    for (let i = 0; i < operations; i++) {
      writeFileSync(join(folder, "job.sep.yaml"), versions[Math.floor(next() * 2)]!);
      const w = Math.floor(next() * WRITERS.length);
      const child = started(folder, WRITERS[w]!);
      const end = ended(child);
      const kill = next() < 0.7;
      // Mostly near the end, where files get their names.
      if (kill) {
        await Promise.race([end, pause(lasts[w]! * (1 - next() ** 2 * 0.8))]);
        child.kill("SIGKILL");
      }
      const { status, signal, err } = await end;
      if (signal === "SIGKILL") kills++;
      else if (status === 0) done++;
      else losses.push(`operation ${i}: ${err}`);
      for (const [name, digest] of digests(join(folder, "out")))
        if (!whole.get(name)?.has(digest)) losses.push(`operation ${i}: ${name} is of no recipe`);
    }
    for (const args of WRITERS) {
      const { status, err } = await ended(started(folder, args));
      if (status !== 0) losses.push(`after all: ${err}`);
    }
    const left = readdirSync(join(folder, "out")).filter((name) => name.endsWith(".part"));
    if (left.length > 0) losses.push(`after all: ${left.join(", ")} left behind`);
  } finally {
    rmSync(top, { recursive: true, force: true });
  }
  return { operations, kills, done, losses };
}

/** Digests of the files under final names. */
function digests(folder: string): [name: string, digest: string][] {
  if (!existsSync(folder)) return [];
  return readdirSync(folder, { withFileTypes: true }).flatMap((entry): [string, string][] =>
    entry.isFile() && entry.name !== LEDGER_NAME
      ? [
          [
            entry.name,
            createHash("sha256")
              .update(readFileSync(join(folder, entry.name)))
              .digest("hex"),
          ],
        ]
      : [],
  );
}

function pause(ms: number): Promise<void> {
  return new Promise((resolve) => setTimeout(resolve, ms));
}
