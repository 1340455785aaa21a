import { cpSync, mkdirSync, readdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { expect, it } from "vitest";
import { copySampleJob } from "../../client/sample-job.ts";
import { platewright } from "../cli/program.ts";
import { scratch } from "../output/folders.ts";

const { fresh } = scratch();
const samples = fileURLToPath(new URL("../../samples", import.meta.url));

it("copies a whole job, which stands by itself", async () => {
  const parent = fresh();
  const recipe = await copySampleJob(samples, parent);
  expect(recipe).toBe(join(parent, "sample-job", "night-garden", "night-garden.sep.yaml"));
  expect(readdirSync(join(parent, "sample-job")).sort()).toEqual([
    "night-garden",
    "readings",
    "workshop.shop.yaml",
  ]);
  const ended = await platewright(parent, "check", "sample-job", "--no-artwork");
  expect([ended.status, ended.out]).toEqual([0, expect.stringContaining("no problems")]);
});

it("leaves what stands there as it is", async () => {
  const parent = fresh();
  mkdirSync(join(parent, "sample-job"));
  writeFileSync(join(parent, "sample-job", "own.txt"), "own");
  await copySampleJob(samples, parent);
  const third = await copySampleJob(samples, parent);
  expect(third).toContain("sample-job-3");
  expect(readdirSync(join(parent, "sample-job"))).toEqual(["own.txt"]);
  expect(readFileSync(join(parent, "sample-job", "own.txt"), "utf8")).toBe("own");
});

it("leaves nothing behind where a part is missing", async () => {
  const [parent, broken] = [fresh(), fresh()];
  cpSync(join(samples, "night-garden"), join(broken, "night-garden"), { recursive: true });
  await expect(copySampleJob(broken, parent)).rejects.toThrow("readings");
  expect(readdirSync(parent)).toEqual([]);
});

it("makes no folder for it to stand in", async () => {
  const parent = fresh();
  await expect(copySampleJob(samples, join(parent, "nowhere"))).rejects.toThrow(/mkdir/);
  expect(readdirSync(parent)).toEqual([]);
});
