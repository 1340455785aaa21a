import { readFileSync } from "node:fs";
import { join } from "node:path";
import { expect, it } from "vitest";
import { RAMPS_RECIPE, rampsPng } from "../jobs/ramps.ts";
import { scratch } from "../output/folders.ts";
import { platewright, put } from "./program.ts";

const { fresh } = scratch();

async function job(): Promise<string> {
  const folder = fresh();
  put(folder, "art.png", await rampsPng());
  put(folder, "job.sep.yaml", RAMPS_RECIPE);
  return folder;
}

it("tune shows what changes, and writes it where it is told to", async () => {
  const folder = await job();
  const text = (name: string) => readFileSync(join(folder, name), "utf8");
  const tune = (...args: string[]) =>
    platewright(folder, "tune", "job.sep.yaml", "--seconds", "1", "--numbers", "6", ...args);
  const shown = await tune("--out", "moved.sep.yaml");
  expect([shown.status, shown.err]).toEqual([0, ""]);
  expect(shown.out).toMatch(/^ {2}\w+: .* nearer$/m);
  expect(shown.out).toMatch(/^ {2}white \(light\) +\d+\.\d\d → \d\.\d\d/m);
  expect(shown.out).toMatch(/\n[1-6] numbers changed, written to moved\.sep\.yaml\n$/);
  expect(text("job.sep.yaml")).toBe(RAMPS_RECIPE);
  const json = JSON.parse((await tune("--format", "json")).out);
  expect(json.text).toBe(text("moved.sep.yaml"));
  expect(json.said[0]).toMatch(/^\w+: .* nearer$/);
  expect(json.garments[0].after).toBeLessThan(json.garments[0].before);
  const written = await tune("--write");
  expect(written.out).toContain("numbers changed, written to job.sep.yaml\n");
  expect(text("job.sep.yaml")).toBe(text("moved.sep.yaml"));
  expect(text("job.sep.yaml")).not.toBe(RAMPS_RECIPE);
});

it.each([
  [["--plates", "embers"], '--plates: there is no "embers" to tune; did you mean "ember"?'],
  [["--garments", "red"], '--garments: there is no "red" to tune; there are: white'],
  [["--out", "x/moved.sep.yaml"], "--out takes a file beside the recipe, whose paths go from its folder"],
  [["--out", "a.sep.yaml", "--write"], "--out and --write are two ways to write; name one"],
])("tune %s is refused in one line", async (args, message) => {
  const { status, err } = await platewright(await job(), "tune", "job.sep.yaml", ...args);
  expect([status, err.split("\n")[0]]).toEqual([2, `platewright: ${message}`]);
});
