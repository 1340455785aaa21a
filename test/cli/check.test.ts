import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { scratch } from "../output/folders.ts";
import { ended, platewright, put, putJob, RECIPE, started } from "./program.ts";

const { fresh } = scratch();
/** Nothing for the trade to say. */
const JOB = RECIPE.replace("merges:", "traps:\n  - { plate: base, choke: 0.2 mm }\nmerges:").replace(
  / {2}quick.*\n/,
  "",
);
// The garment "spare" is in no setup: a warning.
const SOUND = JOB.replace(/ {2}spare.*\n/, "");
const alone = (...args: string[]) => ["check", "--no-artwork", ...args];
const WARNING = 'No setup prints on "spare"; add it to a setup\'s garments, or take it out';

describe("check", () => {
  it("has nothing to say of a sound job", async () => {
    const job = await putJob(fresh(), SOUND);
    expect(await platewright(job, ...alone("job.sep.yaml"))).toEqual({
      status: 0,
      signal: null,
      out: "1 file, no problems\n",
      err: "",
    });
  });

  it("prints each finding with its place, level, path, message and rule", async () => {
    const job = await putJob(
      fresh(),
      JOB.replace("ink: ember, extract: { hue: [20", "ink: embr, extract: { hue: [20"),
    );
    const { status, out, err } = await platewright(job, ...alone("job.sep.yaml"));
    expect([status, err]).toEqual([1, ""]);
    expect(out.split("\n")).toEqual([
      `job.sep.yaml:7:3: warning: garments.spare: ${WARNING} [unprinted-garment]`,
      'job.sep.yaml:13:17: error: plates.ember.ink: There is no ink "embr"; did you mean "ember"? [unknown-name]',
      "1 file, 1 error, 1 warning",
      "",
    ]);
  });

  it("prints the same as JSON", async () => {
    const job = await putJob(fresh(), JOB);
    const { status, out } = await platewright(job, ...alone("job.sep.yaml", "--format", "json"));
    const offset = JOB.indexOf("spare");
    expect(status).toBe(1);
    expect(JSON.parse(out)).toEqual({
      files: ["job.sep.yaml"],
      findings: [
        {
          file: "job.sep.yaml",
          rule: "unprinted-garment",
          level: "warning",
          path: "garments.spare",
          message: WARNING,
          start: { line: 7, column: 3, offset },
          end: { line: 7, column: 8, offset: offset + 5 },
        },
      ],
    });
  });

  it.each([
    ["error", 0],
    ["warning", 1],
    ["note", 1],
  ])("at level %s a warning gives status %i", async (level, status) => {
    const job = await putJob(fresh(), JOB);
    const run = await platewright(job, ...alone("job.sep.yaml", "--level", level));
    expect(run.status).toBe(status);
    expect(run.out.includes(WARNING)).toBe(status === 1);
  });

  it("searches folders for recipes and shop files, but not hidden ones or packages", async () => {
    const job = await putJob(fresh(), SOUND);
    put(job, "b/shop.yaml", "shop: 1\n");
    put(job, "b/c/x.shop.yml", "shop: 1\n");
    for (const name of ["b/notes.yaml", "b/.old/y.sep.yaml", "node_modules/z.sep.yaml"]) put(job, name, "[");
    const { status, out } = await platewright(job, ...alone(".", "--format", "json"));
    expect([status, JSON.parse(out).files]).toEqual([
      0,
      ["b/c/x.shop.yml", "b/shop.yaml", "job.sep.yaml"].map((name) => join(name)),
    ]);
  });

  it("says where a folder holds nothing to check", async () => {
    const folder = fresh();
    put(folder, "empty/notes.txt", "");
    expect(await platewright(folder, "check", "empty")).toMatchObject({
      status: 2,
      out: "",
      err: "empty: no *.sep.yaml, *.shop.yaml or *.order.yaml in this folder\n",
    });
  });

  it("tells a shop's faults once, however many recipes use it and whatever path leads there", async () => {
    const job = await putJob(fresh(), `${SOUND}shop: my.shop.yaml\n`);
    put(job, "second.sep.yaml", `${SOUND}shop: ./my.shop.yaml\n`);
    put(job, "my.shop.yaml", "shop: 1\npress: { stations: none }\n");
    for (const [cwd, path] of [
      [job, "."],
      [job, job],
      [join(job, ".."), job],
    ] as const) {
      const { status, out } = await platewright(cwd, "check", path);
      const lines = out.trimEnd().split("\n");
      expect([status, lines.length, lines.at(-1)]).toEqual([1, 2, "3 files, 1 error"]);
      expect(lines[0]).toMatch(/my\.shop\.yaml:2:20: error: press\.stations: Must be a whole number/);
    }
  });

  it("keeps every finding on one line, whatever the recipe holds", async () => {
    const hostile = '"2 in\\nall is well\\u001b[2J\\u009b"';
    const job = await putJob(fresh(), SOUND.replace("width: 1 in", `width: ${hostile}`));
    const { out } = await platewright(job, ...alone("job.sep.yaml"));
    expect(out.split("\n")).toHaveLength(3);
    expect(out).toContain("\\nall is well\\u001b[2J\\u009b");
    expect(out).not.toMatch(/[^\P{Cc}\n]/u);
  });

  it("stays silent where its reader closes early", async () => {
    const job = await putJob(
      fresh(),
      `${SOUND}${Array.from({ length: 900 }, (_, i) => `k${i}: 1\n`).join("")}`,
    );
    const child = started(job, ["check", "job.sep.yaml", "--format", "json"]);
    child.stdout!.once("data", () => child.stdout!.destroy());
    const { err, signal } = await ended(child);
    expect([err, signal]).toEqual(["", null]);
  });

  it("checks the samples without a finding", async () => {
    const root = new URL("../..", import.meta.url).pathname;
    expect(await platewright(root, "check", "samples")).toMatchObject({
      status: 0,
      out: expect.stringMatching(/^\d+ files, no problems\n$/),
    });
  });
});
