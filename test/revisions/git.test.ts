import { spawnSync } from "node:child_process";
import { createHash } from "node:crypto";
import { mkdirSync, rmSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { FileError } from "../../server/language/project.ts";
import { Revision, RevisionError, readBlob } from "../../server/revisions/git.ts";
import { scratch } from "../output/folders.ts";

const { fresh } = scratch();
const hasGit = spawnSync("git", ["--version"]).status === 0;

function git(folder: string, ...args: string[]): string {
  const who = ["-c", "user.name=A Printer", "-c", "user.email=printer@example.org"];
  const { status, stdout, stderr } = spawnSync("git", [...who, ...args], { cwd: folder, encoding: "utf8" });
  expect(status, stderr).toBe(0);
  return stdout.trim();
}

/** A repository with a recipe in a folder, committed, and changed since. */
function repository(): { top: string; job: string; recipe: string } {
  const top = fresh();
  const job = join(top, "a job");
  mkdirSync(job);
  const recipe = join(job, "job.sep.yaml");
  writeFileSync(recipe, "recipe: 1 # as committed ü\n");
  git(top, "init", "-q");
  git(top, "add", ".");
  git(top, "commit", "-q", "-m", "first");
  writeFileSync(recipe, "recipe: 1 # as it is now\n");
  return { top, job, recipe };
}

describe.skipIf(!hasGit)("a commit (needs git)", () => {
  it("gives texts as they were", async () => {
    const { top, job, recipe } = repository();
    const revision = await Revision.open(job);
    expect(revision.commit).toBe(git(top, "rev-parse", "HEAD"));
    expect(await revision.readText(recipe)).toBe("recipe: 1 # as committed ü\n");
    expect(await revision.exists(recipe)).toBe(true);
    expect(await revision.exists(join(job, "other.yaml"))).toBe(false);
  });

  it("gives any commit by name, and files beside the recipe by path", async () => {
    const { top, job, recipe } = repository();
    writeFileSync(join(top, "shop.yaml"), "shop: 1\n");
    git(top, "add", ".");
    git(top, "commit", "-q", "-m", "second");
    expect(await (await Revision.open(job, "HEAD")).readText(join(top, "shop.yaml"))).toBe("shop: 1\n");
    const first = await Revision.open(job, "HEAD~1");
    expect(await first.readText(recipe)).toContain("as committed");
    await expect(first.readText(join(top, "shop.yaml"))).rejects.toThrow(
      /it is not in the commit [0-9a-f]{8}$/,
    );
  });

  it("gives bytes as they were, odd ones included", async () => {
    const { top, job } = repository();
    const file = join(job, "art.bin");
    const bytes = Uint8Array.from({ length: 70_000 }, (_, i) => (i * 31) & 255);
    writeFileSync(file, bytes);
    git(top, "add", ".");
    git(top, "commit", "-q", "-m", "art");
    rmSync(file);
    const blob = await (await Revision.open(job)).blob(file);
    expect(new Uint8Array(await readBlob(file, blob))).toEqual(bytes);
  });

  it("takes what Git LFS keeps elsewhere from the disk while it is the same, and else says so", async () => {
    const { top, job } = repository();
    const file = join(job, "art.png");
    const content = "the picture itself";
    const oid = createHash("sha256").update(content).digest("hex");
    writeFileSync(
      file,
      `version https://git-lfs.github.com/spec/v1\noid sha256:${oid}\nsize ${content.length}\n`,
    );
    git(top, "add", ".");
    git(top, "commit", "-q", "-m", "pointer");
    const blob = await (await Revision.open(job)).blob(file);
    writeFileSync(file, content);
    expect(new TextDecoder().decode(await readBlob(file, blob))).toBe(content);
    writeFileSync(file, "another picture");
    await expect(readBlob(file, blob)).rejects.toThrow(/Git LFS keeps its committed content outside/);
  });

  it("says in one line why there is none", async () => {
    await expect(Revision.open(fresh())).rejects.toThrow(RevisionError);
    await expect(Revision.open(fresh())).rejects.toThrow(/^this folder is in no git repository[^\n]*$/);
    const empty = fresh();
    git(empty, "init", "-q");
    await expect(Revision.open(empty)).rejects.toThrow("the repository has no commit yet");
    const { job } = repository();
    await expect(Revision.open(job, "nothing")).rejects.toThrow('there is no commit "nothing"');
    await expect(Revision.open(job, "--output=x")).rejects.toThrow(RevisionError);
    const revision = await Revision.open(job);
    await expect(revision.readText(join(job, "new.sep.yaml"))).rejects.toThrow(FileError);
  });

  it("runs nothing that the repository's settings name", async () => {
    const { top, job, recipe } = repository();
    const trace = join(top, "ran");
    git(top, "config", "core.fsmonitor", `touch ${trace}; false`);
    git(top, "config", "diff.recipe.textconv", `touch ${trace}; cat`);
    git(top, "config", "filter.recipe.smudge", `touch ${trace}; cat`);
    writeFileSync(join(top, ".gitattributes"), "*.yaml diff=recipe filter=recipe\n");
    rmSync(trace, { force: true });
    expect(await (await Revision.open(job)).readText(recipe)).toContain("as committed");
    expect(spawnSync("ls", [trace]).status).not.toBe(0);
  });
});
