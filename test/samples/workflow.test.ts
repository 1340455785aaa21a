import { spawnSync } from "node:child_process";
import { chmodSync, existsSync, mkdirSync, readdirSync, readFileSync, renameSync } from "node:fs";
import { delimiter, join } from "node:path";
import { describe, expect, it } from "vitest";
import { parse } from "yaml";
import { PROGRAM, put, putJob, RECIPE } from "../cli/program.ts";
import { scratch } from "../output/folders.ts";

const { fresh } = scratch();
const has = (name: string) => spawnSync(name, ["--version"]).status === 0;
const runnable = has("git") && has("bash");

interface Workflow {
  readonly jobs: Record<string, { readonly steps: { readonly name?: string; readonly run?: string }[] }>;
}
const WORKFLOW = parse(
  readFileSync(new URL("../../samples/workflows/separations.yml", import.meta.url), "utf8"),
) as Workflow;
const SCRIPT = WORKFLOW.jobs.review?.steps.find(({ name }) => name === "Review every recipe")?.run ?? "";

/** So long that nobody takes a recipe with it for another one under a new name. */
const LONG_COMMENT = Array.from({ length: 200 }, (_, i) => `# line ${i} of what was agreed\n`).join("");

function git(folder: string, ...args: string[]): string {
  const who = ["-c", "user.name=A Printer", "-c", "user.email=printer@example.org"];
  const { status, stdout, stderr } = spawnSync("git", [...who, ...args], { cwd: folder, encoding: "utf8" });
  expect(status, stderr).toBe(0);
  return stdout.trim();
}

/** Runs the step as the runner does, with `npx` standing for the built program. */
function review(top: string, base: string) {
  const bin = fresh();
  chmodSync(put(bin, "npx", `#!/bin/sh\nshift\nexec '${process.execPath}' '${PROGRAM}' "$@"\n`), 0o755);
  const summary = join(fresh(), "summary.md");
  const env = {
    ...process.env,
    PATH: `${bin}${delimiter}${process.env.PATH}`,
    BASE: base,
    GITHUB_STEP_SUMMARY: summary,
  };
  const { status, stderr } = spawnSync("bash", ["-e", "-o", "pipefail", "-c", SCRIPT], {
    cwd: top,
    env,
    encoding: "utf8",
  });
  return {
    status,
    stderr,
    summary: existsSync(summary) ? readFileSync(summary, "utf8") : "",
    pages: readdirSync(join(top, "review")),
  };
}

describe.skipIf(!runnable)("the sample workflow (needs git and bash)", () => {
  it("keeps a page of each recipe whose print changed, and fails for new errors alone", async () => {
    const top = fresh();
    for (const name of ["same", "changed job", "old name", "broken"]) {
      mkdirSync(join(top, name));
      await putJob(join(top, name));
    }
    git(top, "init", "-q");
    git(top, "add", "-A");
    git(top, "commit", "-q", "-m", "first");
    const base = git(top, "rev-parse", "HEAD");
    const wider = RECIPE.replace("hue: [20, 60]", "hue: [15, 65]");
    put(top, "same/job.sep.yaml", `# a comment\n${RECIPE}`);
    put(top, "changed job/job.sep.yaml", wider);
    renameSync(join(top, "old name"), join(top, "new name"));
    put(top, "new name/job.sep.yaml", wider);
    mkdirSync(join(top, "added"));
    await putJob(join(top, "added"), `${RECIPE}${LONG_COMMENT}`);
    git(top, "add", "-A");
    git(top, "commit", "-q", "-m", "second");
    const changed = review(top, base);
    expect([changed.stderr, changed.status]).toEqual(["", 0]);
    expect(changed.pages).toEqual([
      ".platewright-made.json",
      "changed job-job.sep.yaml.html",
      "new name-job.sep.yaml.html",
    ]);
    expect(changed.summary).toContain("added/job.sep.yaml is new");
    expect(changed.summary.match(/1 change to the print/g)).toHaveLength(2);

    put(top, "broken/job.sep.yaml", RECIPE.replace("{ ink: white", "{ ink: wite"));
    git(top, "commit", "-q", "-a", "-m", "third");
    const broken = review(top, base);
    expect(broken.status).toBe(1);
    expect(broken.summary).toContain("There is no ink");
  });
});
