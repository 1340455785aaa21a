import { getEventListeners } from "node:events";
import { existsSync, readdirSync, realpathSync } from "node:fs";
import { join } from "node:path";
import { expect, it, vi } from "vitest";
import { runProgram } from "../../client/program.ts";
import type { Told } from "../../server/cli/progress.ts";
import { PROGRAM, put, putJob, RECIPE } from "../cli/program.ts";
import { scratch } from "../output/folders.ts";

const { fresh } = scratch();
const never = () => new AbortController().signal;

it("runs the program with what it wrote and said", async () => {
  const folder = await putJob(fresh());
  const out = join(folder, "films");
  const told: Told[] = [];
  const ended = await runProgram(
    PROGRAM,
    ["films", join(folder, "job.sep.yaml"), "--setup", "dark", "--out", out],
    never(),
    (progress) => told.push(progress),
  );
  expect(ended).toMatchObject({ status: 0, err: "" });
  expect(told.at(0)).toEqual({ done: expect.any(Number), label: "plates" });
  expect(
    told.every(({ done, label }) => done >= 0 && done <= 1 && /^(plates|film [12] of 2)$/.test(label)),
  ).toBe(true);
  expect(ended.out).toMatch(/^2 films of setup dark/);
  expect(readdirSync(out)).toContain("job-dark.pdf");
});

it("brings back one line of what went wrong", async () => {
  const ended = await runProgram(
    PROGRAM,
    ["films", "nowhere.sep.yaml", "--setup", "a", "--out", fresh()],
    never(),
  );
  expect(ended.status).toBe(2);
  expect(ended.err.trim().split("\n")).toHaveLength(1);
});

it("runs as Node, with nothing to read, and its letters come whole", async () => {
  const said = [
    "process.stdout.write(process.env.ELECTRON_RUN_AS_NODE + ' ');",
    // A letter of two bytes, one at a time, on both ways out.
    "const halves = (out) => { out.write(Buffer.of(0xc3)); setTimeout(() => out.write(Buffer.of(0xa9)), 50); };",
    "process.stdin.on('end', () => { halves(process.stdout); halves(process.stderr); }).resume();",
  ];
  const program = put(fresh(), "say.cjs", said.join("\n"));
  expect(await runProgram(program, [], never())).toEqual({ status: 0, out: "1 é", err: "é" });
});

it("runs in the folder that it is given", async () => {
  const folder = fresh();
  const program = put(folder, "where.cjs", "process.stdout.write(process.cwd())");
  expect((await runProgram(program, [], never(), undefined, folder)).out).toBe(realpathSync(folder));
  expect((await runProgram(program, [], never())).out).toBe(process.cwd());
});

it("fails where no process can be started, and lets go of the signal in the end", async () => {
  const { execPath } = process;
  const { signal } = new AbortController();
  await runProgram(put(fresh(), "nothing.cjs", ""), [], signal);
  expect(getEventListeners(signal, "abort")).toEqual([]);
  try {
    process.execPath = join(fresh(), "no-node");
    await expect(runProgram("nothing.cjs", [], signal)).rejects.toThrow("ENOENT");
  } finally {
    process.execPath = execPath;
  }
});

it("is ended when it is stopped", async () => {
  const folder = fresh();
  const begun = join(folder, "begun");
  // Ends by itself, so that a test that fails leaves nothing running.
  const program = put(
    folder,
    "wait.mjs",
    'import { writeFileSync } from "node:fs"; writeFileSync(process.argv[2], ""); setTimeout(() => {}, 10_000);',
  );
  const controller = new AbortController();
  const running = runProgram(program, [begun], controller.signal);
  await vi.waitUntil(() => existsSync(begun), { timeout: 60_000 });
  controller.abort();
  expect(await running).toEqual({ status: null, out: "", err: "" });
});

it("leaves nothing behind when it was stopped before it began", async () => {
  const folder = await putJob(fresh());
  const out = join(folder, "films");
  const { status } = await runProgram(
    PROGRAM,
    ["films", join(folder, "job.sep.yaml"), "--setup", "dark", "--out", out],
    AbortSignal.abort(),
  );
  expect(status).toBeNull();
  expect(existsSync(out)).toBe(false);
});

it("leaves nothing behind when it is stopped while it writes", async () => {
  // Large enough that it is far from ready when it has just begun to write.
  const folder = await putJob(fresh(), RECIPE.replace("width: 1 in", "width: 12 in"));
  const controller = new AbortController();
  const out = join(folder, "films");
  const running = runProgram(
    PROGRAM,
    ["films", join(folder, "job.sep.yaml"), "--setup", "dark", "--out", out],
    controller.signal,
  );
  await vi.waitUntil(() => existsSync(out) && readdirSync(out).length > 0, { timeout: 60_000 });
  controller.abort();
  expect((await running).status).not.toBe(0);
  expect(existsSync(out)).toBe(false);
});
