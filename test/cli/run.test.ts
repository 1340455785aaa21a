import { execFileSync, spawnSync } from "node:child_process";
import { existsSync, readFileSync, symlinkSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { scratch } from "../output/folders.ts";
import { platewright, put, putJob, RECIPE } from "./program.ts";

const { fresh } = scratch();
const hasGit = spawnSync("git", ["--version"]).status === 0;
const note = (folder: string, ...more: string[]) =>
  platewright(
    folder,
    ...["run", "job.sep.yaml", "--setup", "dark", "--printed", "60", "--date", "2026-06-03", ...more],
  );
const ticket = async (folder: string) => {
  const { status, err } = await platewright(
    folder,
    ...["ticket", "job.sep.yaml", "--setup", "dark", "--out", "t.html", "--date", "2026-07-01", "--force"],
  );
  expect([status, err]).toEqual([0, ""]);
  return readFileSync(join(folder, "t.html"), "utf8").replaceAll("&#39;", "'");
};

describe("run", () => {
  it("adds a dated record beside the recipe, after those that stand there", async () => {
    const folder = await putJob(fresh());
    put(folder, "films/job-dark.pdf", "a film");
    const first = await note(
      folder,
      ...["--spoiled", "2", "--order", "2026-041", "--films", "films", "--changed", "flash 2 s: longer"],
    );
    expect([first.status, first.out]).toEqual([0, "60 garments of setup dark noted in job.runs.yaml\n"]);
    expect(first.err).toContain("no commit holds it as it was printed");
    // The first twelve signs of the film's SHA-256, as sha256sum gives it.
    expect(readFileSync(join(folder, "job.runs.yaml"), "utf8")).toMatch(
      /^# Runs of job\.sep\.yaml.*\n- date: 2026-06-03\n {2}setup: dark\n {2}garments:\n {4}- black\n {4}- brick\n {2}printed: 60\n {2}spoiled: 2\n {2}order: 2026-041\n {2}recipe: \S+\n {2}films:\n {4}job-dark\.pdf: \S+\n {2}changed: "flash 2 s: longer"\n$/,
    );
    expect((await note(folder, "--garments", "brick")).status).toBe(0);
    const text = readFileSync(join(folder, "job.runs.yaml"), "utf8");
    expect(text.match(/^- date/gm)).toHaveLength(2);
    expect(text).toContain("  garments:\n    - brick\n");
  });

  it.skipIf(!hasGit)(
    "is told on the ticket of a reorder, with what has changed since (needs git)",
    async () => {
      const folder = await putJob(fresh());
      const git = (...args: string[]) =>
        execFileSync("git", ["-c", "user.name=a", "-c", "user.email=a@example.org", ...args], {
          cwd: folder,
        });
      git("init", "-q");
      git("add", "job.sep.yaml", "art.png");
      git("commit", "-qm", "the job");
      expect((await note(folder, "--changed", "<b>softer</b>")).err).toBe("");
      const same = await ticket(folder);
      for (const part of [
        "2026-06-03: 60 garments on black, brick, 0 spoiled",
        "changed on press: &#60;b&#62;softer",
        "since then: nothing has changed",
      ])
        expect(same).toContain(part);
      put(folder, "job.sep.yaml", RECIPE.replace("hue: [20, 60]", "hue: [20, 70]"));
      expect(await ticket(folder)).toContain("since then: ember: hue range widened 20–60 → 20–70");
    },
  );

  it("says no more than that it changed where no commit holds it", async () => {
    const folder = await putJob(fresh());
    await note(folder);
    put(folder, "job.sep.yaml", RECIPE.replace("hue: [20, 60]", "hue: [20, 70]"));
    expect(await ticket(folder)).toMatch(
      /since then: the job has changed \(recipe \w{12} then, \w{12} now\)/,
    );
  });

  it.each([
    ["no number", ["--printed", "many"], '--printed takes a whole number from 1 up, not "many"'],
    ["a garment of another setup", ["--garments", "spare"], 'this setup prints on no "spare"'],
    ["a day that is none", ["--date", "june"], "--date"],
    ["a film that is not there", ["--films", "no.pdf"], "no.pdf: there is no such file"],
  ])("refuses %s, and writes nothing", async (_, more, message) => {
    const folder = await putJob(fresh());
    const { status, err } = await note(folder, ...more);
    expect([status, err.split("\n")[0]]).toEqual([2, expect.stringContaining(message)]);
    expect(existsSync(join(folder, "job.runs.yaml"))).toBe(false);
  });

  it("leaves a file alone that is no record, and follows no link", async () => {
    const folder = await putJob(fresh());
    put(folder, "job.runs.yaml", "password: hunter\n");
    const kept = await note(folder);
    expect([kept.status, kept.err]).toEqual([
      2,
      "job.runs.yaml: it is no list of runs as platewright run writes it\n",
    ]);
    expect(readFileSync(join(folder, "job.runs.yaml"), "utf8")).toBe("password: hunter\n");
    const other = await putJob(fresh());
    symlinkSync(put(folder, "mine.yaml", "[]\n"), join(other, "job.runs.yaml"));
    expect((await note(other)).err).toContain("it is no plain file");
    expect(readFileSync(join(folder, "mine.yaml"), "utf8")).toBe("[]\n");
  });
});
