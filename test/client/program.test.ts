import { existsSync, readdirSync } from "node:fs";
import { join } from "node:path";
import { expect, it } from "vitest";
import { runProgram } from "../../client/program.ts";
import { PROGRAM, putJob, RECIPE } from "../cli/program.ts";
import { until } from "../lsp/client.ts";
import { scratch } from "../output/folders.ts";

const { fresh } = scratch();
const never = () => new AbortController().signal;

it("runs the program with what it wrote and said", async () => {
  const folder = await putJob(fresh());
  const out = join(folder, "films");
  const ended = await runProgram(
    PROGRAM,
    ["films", join(folder, "job.sep.yaml"), "--setup", "dark", "--out", out],
    never(),
  );
  expect(ended).toMatchObject({ status: 0, err: "" });
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

it("leaves nothing behind when it is stopped", async () => {
  // Large enough that it is far from ready when it has just begun to write.
  const folder = await putJob(fresh(), RECIPE.replace("width: 1 in", "width: 12 in"));
  const controller = new AbortController();
  const out = join(folder, "films");
  const running = runProgram(
    PROGRAM,
    ["films", join(folder, "job.sep.yaml"), "--setup", "dark", "--out", out],
    controller.signal,
  );
  await until(() => (existsSync(out) && readdirSync(out).length > 0) || undefined);
  controller.abort();
  expect((await running).status).not.toBe(0);
  expect(existsSync(out)).toBe(false);
});
