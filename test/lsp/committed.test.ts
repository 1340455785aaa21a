import { spawnSync } from "node:child_process";
import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { describe, expect, it } from "vitest";
import { CommittedRecipes } from "../../server/lsp/committed.ts";
import { RECIPE } from "../cli/program.ts";
import { scratch } from "../output/folders.ts";

const { fresh } = scratch();
const hasGit = spawnSync("git", ["--version"]).status === 0;

function git(folder: string, ...args: string[]): void {
  const who = ["-c", "user.name=A Printer", "-c", "user.email=printer@example.org"];
  const { status, stderr } = spawnSync("git", [...who, ...args], { cwd: folder, encoding: "utf8" });
  expect(status, stderr).toBe(0);
}

describe.skipIf(!hasGit)("the last commit's recipe (needs git)", () => {
  it("is not waited for, and told of when it has come", async () => {
    const folder = fresh();
    const file = join(folder, "job.sep.yaml");
    writeFileSync(file, RECIPE);
    git(folder, "init", "-q");
    git(folder, "add", ".");
    git(folder, "commit", "-q", "-m", "first");
    writeFileSync(file, RECIPE.replace("Two halves", "As it is now"));
    const uri = pathToFileURL(file).href;
    const recipes = await new Promise<CommittedRecipes>((resolve) => {
      const asked: CommittedRecipes = new CommittedRecipes(() => resolve(asked));
      expect(asked.of(uri)).toBeUndefined();
    });
    expect(recipes.of(uri)?.title).toBe("Two halves");
    recipes.close(uri);
    expect(recipes.of(uri)).toBeUndefined();
  });

  it("is none where nothing is committed", async () => {
    let told = 0;
    const recipes = new CommittedRecipes(() => told++);
    const uri = pathToFileURL(join(fresh(), "job.sep.yaml")).href;
    recipes.of(uri);
    await new Promise((resolve) => setTimeout(resolve, 300));
    expect([recipes.of(uri), told]).toEqual([undefined, 0]);
  });
});
