import { spawnSync } from "node:child_process";
import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { describe, expect, it, vi } from "vitest";
import { CommittedRecipes } from "../../server/lsp/committed.ts";
import { Revision } from "../../server/revisions/git.ts";
import { RECIPE } from "../cli/program.ts";
import { scratch } from "../output/folders.ts";
import { until } from "./client.ts";

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

  /** A repository with a committed recipe. */
  function repository(text: string): { folder: string; uri: string } {
    const folder = fresh();
    writeFileSync(join(folder, "job.sep.yaml"), text);
    git(folder, "init", "-q");
    git(folder, "add", ".");
    git(folder, "commit", "-q", "-m", "first");
    return { folder, uri: pathToFileURL(join(folder, "job.sep.yaml")).href };
  }
  const looked = (opening: { mock: { results: unknown[] } }, times: number) =>
    until(() => opening.mock.results.length >= times || undefined).then(
      () => new Promise((r) => setTimeout(r, 400)),
    );

  it("is looked up once for many who ask, again after two seconds, and told of where it is another", async () => {
    const { folder, uri } = repository(RECIPE);
    const opening = vi.spyOn(Revision, "open");
    const clock = vi.spyOn(performance, "now").mockReturnValue(1000);
    let told = 0;
    try {
      const recipes = new CommittedRecipes(() => told++);
      for (let i = 0; i < 5; i++) recipes.of(uri);
      await until(() => told === 1 || undefined);
      clock.mockReturnValue(2999);
      expect(recipes.of(uri)?.title).toBe("Two halves");
      expect(opening).toHaveBeenCalledTimes(1);
      // The same commit is no news.
      clock.mockReturnValue(3001);
      recipes.of(uri);
      await looked(opening, 2);
      expect([opening.mock.calls.length, told]).toEqual([2, 1]);
      writeFileSync(join(folder, "job.sep.yaml"), RECIPE.replace("Two halves", "Three thirds"));
      git(folder, "commit", "-q", "-a", "-m", "second");
      clock.mockReturnValue(6000);
      expect(recipes.of(uri)?.title).toBe("Two halves");
      await until(() => told === 2 || undefined);
      expect(recipes.of(uri)?.title).toBe("Three thirds");
    } finally {
      clock.mockRestore();
      opening.mockRestore();
    }
  });

  it("is none where the recipe of the last commit has errors, or where its document was closed meanwhile", async () => {
    const opening = vi.spyOn(Revision, "open");
    let told = 0;
    try {
      const recipes = new CommittedRecipes(() => told++);
      const wrong = repository(RECIPE.replace("ink: ember", "ink: embr")).uri;
      recipes.of(wrong);
      await looked(opening, 1);
      expect([recipes.of(wrong), told]).toEqual([undefined, 0]);
      const right = repository(RECIPE).uri;
      recipes.of(right);
      recipes.close(right);
      await looked(opening, 2);
      expect(told).toBe(0);
      expect(recipes.of(right)).toBeUndefined();
    } finally {
      opening.mockRestore();
    }
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
