import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { afterEach, expect, it } from "vitest";
import { CancellationTokenSource } from "vscode-languageserver-protocol";
import { MeasureScheduler, type MeasureSchedulerHost } from "../../server/lsp/measure-scheduler.ts";
import { Measurer } from "../../server/lsp/measurer.ts";
import { Workspace } from "../../server/lsp/workspace.ts";
import { SOUND } from "../language/documents.ts";
import { scratch } from "../output/folders.ts";
import { until } from "./client.ts";

const { fresh } = scratch();
let measuring: MeasureScheduler;
let measurer: Measurer;

afterEach(() => {
  measuring.dispose();
  measurer.dispose();
});

/** An open recipe with a measuring process that answers after so many milliseconds; `events` is what the host saw. */
function open(
  answersAfterMs: number,
  host: Partial<MeasureSchedulerHost> = {},
  recipe = SOUND,
  answered = "{ id: m.id, result: { measurements: { artworkPpi: 300, plates: new Map() }, marks: [] } }",
) {
  const folder = fresh();
  const program = join(folder, "slow.cjs");
  const answer = `process.send(${answered})`;
  writeFileSync(
    program,
    `process.on("message", (m) => { if (m.kind === "measure") setTimeout(() => ${answer}, ${answersAfterMs}); });`,
  );
  writeFileSync(join(folder, "art.png"), "is only looked for");
  const uri = pathToFileURL(join(folder, "job.sep.yaml")).href;
  const document = { version: 1, languageId: "separation-recipe", getText: () => recipe };
  const events: string[] = [];
  const workspace = new Workspace((asked) => (asked === uri ? document : undefined));
  measurer = new Measurer(program);
  measuring = new MeasureScheduler(workspace, measurer, {
    wanted: () => true,
    progress: async (title) => {
      events.push(`begin ${title}`);
      return { done: () => events.push("end") };
    },
    measured: () => events.push("measured"),
    failed: (_uri, message) => events.push(`failed: ${message}`),
    ...host,
  });
  return { uri, events, workspace };
}

const quiet = () => new Promise((resolve) => setTimeout(resolve, 900));

it("measures once typing rests, and says nothing of short work", async () => {
  const { uri, events, workspace } = open(20);
  for (let i = 0; i < 5; i++) measuring.changed(uri);
  await until(() => (events.length > 0 ? true : undefined));
  // Longer than work goes on before progress is shown.
  await new Promise((resolve) => setTimeout(resolve, 1200));
  expect(events).toEqual(["measured"]);
  expect((await workspace.model(uri))?.measurements?.artworkPpi).toBe(300);
});

it("shows progress of long work, and takes it away at the end", async () => {
  const { uri, events } = open(1500);
  measuring.changed(uri);
  await until(() => (events.includes("end") ? true : undefined));
  expect(events).toEqual(["begin Measuring plates", "measured", "end"]);
});

it("stops when the user stops its progress", async () => {
  const stop = new CancellationTokenSource();
  const ended: string[] = [];
  const { uri, events } = open(5000, {
    progress: async () => ({ done: () => ended.push("end"), cancelled: stop.token }),
  });
  measuring.changed(uri);
  setTimeout(() => stop.cancel(), 1800);
  await until(() => (ended.length > 0 ? true : undefined));
  expect(events).toEqual([]);
});

it("drops what was measured of text that has moved on", async () => {
  const { uri, events } = open(300);
  measuring.changed(uri);
  await new Promise((resolve) => setTimeout(resolve, 550));
  measuring.changed(uri);
  await until(() => (events.length > 0 ? true : undefined));
  await quiet();
  expect(events).toEqual(["measured"]);
});

it("ends a new measurement too where its document is closed just as an old one was given up", async () => {
  const { uri, events } = open(300);
  measuring.changed(uri);
  await new Promise((resolve) => setTimeout(resolve, 550));
  measuring.changed(uri);
  await new Promise((resolve) => setTimeout(resolve, 50));
  measuring.closed(uri);
  await quiet();
  expect(events).toEqual([]);
});

it("tells in one line why artwork could not be measured", async () => {
  const { uri, events } = open(20, {}, SOUND, '{ id: m.id, error: "art.png: no picture" }');
  measuring.changed(uri);
  await until(() => events.length > 1 || undefined);
  expect(events).toEqual(["failed: art.png: no picture", expect.stringMatching(/^measured/)]);
});

it.each([
  ["the recipe has errors", () => open(20, {}, SOUND.replace("ink: ember", "ink: embr"))],
  ["the user does not want it", () => open(20, { wanted: () => false })],
  [
    "the workspace is not trusted",
    () => {
      const opened = open(20);
      measuring.allowed = false;
      return opened;
    },
  ],
  [
    "the document is closed at once",
    () => {
      const opened = open(20);
      setTimeout(() => measuring.closed(opened.uri), 100);
      return opened;
    },
  ],
])("does not measure where %s", async (_, make) => {
  const { uri, events } = make();
  measuring.changed(uri);
  await quiet();
  expect(events).toEqual([]);
});
