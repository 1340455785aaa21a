import { fork, spawn } from "node:child_process";
import { join } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";
import { afterEach, expect, it } from "vitest";
import { Measurer, OverdueError } from "../../server/lsp/measurer.ts";
import { put, RECIPE } from "../cli/program.ts";
import { scratch } from "../output/folders.ts";
import { TestClient, until } from "./client.ts";

const ROOT = fileURLToPath(new URL("../..", import.meta.url));
const { fresh } = scratch();
const going = () => new AbortController().signal;
let measurer: Measurer | undefined;
afterEach(() => measurer?.dispose());

/** A process that never comes back from artwork called "stuck", and answers all else with its own number. */
const PROGRAM = `
process.on("message", ({ id, kind, work }) => {
  if (kind === "cancel") return;
  if (work.artworkFile === "stuck") for (;;);
  if (work.artworkFile === "slow") setTimeout(() => process.send({ id, result: process.pid }), 100);
  else process.send({ id, result: process.pid });
});
process.on("disconnect", () => process.exit());
`;
const work = (artworkFile: string) => ({ recipe: "", shop: undefined, readings: undefined, artworkFile });
const started = () => {
  const made = new Measurer(put(fresh(), "child.cjs", PROGRAM));
  made.deadline = 1;
  measurer = made;
  return made;
};
const isRunning = (pid: number) => {
  try {
    process.kill(pid, 0);
    return true;
  } catch {
    return false;
  }
};

it("a picture that never ends is given up, its process ended, and what others asked is answered by the next", async () => {
  const made = started();
  const first = (await made.measure(work("sound"), going())) as unknown as number;
  const stuck = made.measure(work("stuck"), going());
  const slow = made.measure(work("slow"), going());
  const behind = made.measure(work("sound"), going());
  await expect(stuck).rejects.toThrow(OverdueError);
  await expect(stuck).rejects.toThrow(/^Reading this artwork takes longer than 1 s; /);
  const [other, same] = await Promise.all([slow, behind]);
  expect(other).toBe(same);
  expect(other).not.toBe(first);
  expect(await until(() => !isRunning(first) || undefined)).toBe(true);
});

it("one that is not wanted any more blocks nobody: its recipe was closed", async () => {
  const made = started();
  const controller = new AbortController();
  const stuck = made.measure(work("stuck"), controller.signal);
  controller.abort();
  await expect(stuck).rejects.toThrow("cancelled");
  expect(await made.measure(work("sound"), going())).toEqual(expect.any(Number));
});

it("is reported at the artwork, with what to do", async () => {
  const folder = fresh();
  const rects = '<rect width="1000" height="1000" fill="#d84" filter="url(#f)"/>'.repeat(20);
  put(
    folder,
    "art.svg",
    `<svg xmlns="http://www.w3.org/2000/svg" width="10in" height="10in" viewBox="0 0 1000 1000"><filter id="f" x="0" y="0" width="1" height="1"><feTurbulence baseFrequency="0.05" numOctaves="10"/></filter>${rects}</svg>`,
  );
  const client = new TestClient();
  client.settings = { deadline: 1 };
  try {
    await client.start(folder);
    const uri = pathToFileURL(put(folder, "job.sep.yaml", RECIPE.replace("art.png", "art.svg"))).href;
    await client.open(uri, RECIPE.replace("art.png", "art.svg"));
    const told = await until(async () =>
      (await client.findings(uri)).find(({ code }) => code === "unreadable-artwork"),
    );
    expect(told.message).toMatch(
      /^Reading this artwork takes longer than 1 s; simplify it .+platewright\.deadline/,
    );
    expect(told.range.start.line).toBe(2);
  } finally {
    client.connection.dispose();
    client.process.kill();
  }
});

it("the process ends with its parent, however busy it is", async () => {
  const folder = fresh();
  const watch = fileURLToPath(new URL("../../server/artwork/parent-watch.ts", import.meta.url));
  put(
    folder,
    "busy.ts",
    `import { endWithParent } from ${JSON.stringify(watch)};\nendWithParent();\nprocess.send!(process.pid);\nsetTimeout(() => { for (;;); }, 50);\n`,
  );
  put(
    folder,
    "parent.cjs",
    `require("node:child_process").fork(${JSON.stringify(join(folder, "busy.ts"))}, { execArgv: ["--import", "tsx"], cwd: ${JSON.stringify(ROOT)} }).on("message", (pid) => process.send(pid));\n`,
  );
  const parent = fork(join(folder, "parent.cjs"));
  const pid = await new Promise<number>((resolve) => parent.once("message", (said) => resolve(Number(said))));
  await new Promise((done) => setTimeout(done, 300));
  expect(isRunning(pid)).toBe(true);
  parent.kill("SIGKILL");
  try {
    expect(await until(() => !isRunning(pid) || undefined)).toBe(true);
  } finally {
    if (isRunning(pid)) spawn("kill", ["-9", String(pid)]);
  }
}, 30_000);
