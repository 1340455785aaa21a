import { spawnSync } from "node:child_process";
import {
  chmodSync,
  cpSync,
  existsSync,
  mkdirSync,
  readdirSync,
  renameSync,
  rmSync,
  writeFileSync,
} from "node:fs";
import { delimiter, join } from "node:path";
import { describe, expect, it } from "vitest";
import { Revision, readBlob } from "../../server/revisions/git.ts";
import { git as runGit } from "../../server/revisions/run-git.ts";
import { platewright, putJob } from "../cli/program.ts";
import { scratch } from "../output/folders.ts";

const { fresh } = scratch();
const hasGit = spawnSync("git", ["--version"]).status === 0;

function git(folder: string, ...args: string[]): string {
  const who = ["-c", "user.name=A Printer", "-c", "user.email=printer@example.org"];
  const { status, stdout, stderr } = spawnSync("git", [...who, ...args], { cwd: folder, encoding: "utf8" });
  expect(status, stderr).toBe(0);
  return stdout.trim();
}

/** Ways from which objects that are missing could be fetched. */
const REMOTES = {
  ssh: "ssh://nobody@example.invalid/x.git",
  "an external helper": "ext::COMMAND",
  "a proxy": "git://example.invalid/x.git",
  "a local repository": "LOCAL",
  "a file URL": "file://LOCAL",
};

/** Every setting of git-config(1) that names a command. */
const settings = (command: string, url: string) => `
[core]
  repositoryformatversion = 1
  bare = BARE
  sshCommand = ${command}
  fsmonitor = ${command}
  hooksPath = HOOKS
  pager = ${command}
  editor = ${command}
  askPass = ${command}
  gitProxy = ${command}
  alternateRefsCommand = ${command}
[extensions]
  partialClone = origin
[remote "origin"]
  url = ${url}
  promisor = true
  partialclonefilter = blob:none
  uploadpack = ${command}
  receivepack = ${command}
[protocol]
  allow = always
[protocol "ext"]
  allow = always
[credential]
  helper = !${command}
[diff]
  external = ${command}
[diff "x"]
  textconv = ${command}
  command = ${command}
[filter "x"]
  clean = ${command}
  smudge = ${command}
  process = ${command}
  required = true
[gpg]
  program = ${command}
[uploadpack]
  packObjectsHook = ${command}
[alias]
  rev-parse = !${command}
  cat-file = !${command}
[maintenance]
  auto = true
`;

/** A job in a repository whose settings all name one command, and whose objects are partly elsewhere. */
async function hostile(kind: "bare" | "full" | "linked", remote: string, missing: "blob" | "commit") {
  const top = fresh();
  const job = await putJob(join(top, "job"));
  writeFileSync(join(job, ".gitattributes"), "* filter=x diff=x\n");
  git(job, "init", "-q", "-b", "main");
  git(job, "add", ".");
  git(job, "commit", "-q", "-m", "first");
  const elsewhere = join(top, "elsewhere.git");
  cpSync(join(job, ".git"), elsewhere, { recursive: true });
  const [ran, command, hooks] = [join(top, "ran"), join(top, "command"), join(top, "hooks")];
  writeFileSync(command, `#!/bin/sh\necho "$0 $*" >> '${ran}'\nexit 1\n`);
  chmodSync(command, 0o755);
  mkdirSync(hooks);
  for (const hook of ["pre-auto-gc", "post-checkout", "reference-transaction", "post-index-change"])
    cpSync(command, join(hooks, hook));
  const object = git(job, "rev-parse", missing === "blob" ? "HEAD:job.sep.yaml" : "HEAD");
  rmSync(join(job, ".git", "objects", object.slice(0, 2), object.slice(2)), { force: true });
  const url = remote.replace("COMMAND", command).replace("LOCAL", elsewhere);
  const config = settings(command, url)
    .replace("BARE", kind === "bare" ? "false\n  worktree = ." : "false")
    .replace("HOOKS", hooks);
  writeFileSync(join(job, ".git", "config"), config);
  if (kind === "bare") {
    // As a clone holds it: the repository's own files among the others.
    for (const name of readdirSync(join(job, ".git"))) renameSync(join(job, ".git", name), join(job, name));
    rmSync(join(job, ".git"), { recursive: true });
  }
  if (kind === "linked") {
    renameSync(join(job, ".git"), join(top, "kept"));
    writeFileSync(join(job, ".git"), "gitdir: ../kept\n");
  }
  return { job, file: join(job, "job.sep.yaml"), ran };
}

describe.skipIf(!hasGit || process.platform === "win32")(
  "no command of a repository runs (needs git)",
  () => {
    const cases = (["bare", "full", "linked"] as const).flatMap((kind) =>
      Object.keys(REMOTES).flatMap((remote) =>
        (["blob", "commit"] as const).map(
          (missing) => [kind, remote as keyof typeof REMOTES, missing] as const,
        ),
      ),
    );

    it.each(cases)("%s, missing objects through %s: the %s", async (kind, remote, missing) => {
      const { job, file, ran } = await hostile(kind, REMOTES[remote], missing);
      const revision = await Revision.open(job).catch(() => undefined);
      if (kind === "bare") expect(revision).toBeUndefined();
      if (revision) {
        await expect(revision.readText(file)).rejects.toThrow();
        await revision.exists(file);
        await expect(readBlob(file, "0".repeat(40))).rejects.toThrow();
      }
      expect(existsSync(ran)).toBe(false);
    });

    it("by a review either", async () => {
      for (const kind of ["bare", "full"] as const) {
        const { job, ran } = await hostile(kind, REMOTES.ssh, "blob");
        const { status } = await platewright(job, "review", "HEAD:job.sep.yaml", "job.sep.yaml");
        expect([status, existsSync(ran)]).toEqual([2, false]);
      }
    });

    it("and the commands would be seen: git by itself runs one", async () => {
      const { job, ran } = await hostile("full", REMOTES.ssh, "blob");
      spawnSync("git", ["cat-file", "blob", "HEAD:job.sep.yaml"], { cwd: job });
      expect(existsSync(ran)).toBe(true);
    });

    it("nor a program of the working folder in git's place", async () => {
      const folder = fresh();
      const ran = join(folder, "ran");
      writeFileSync(join(folder, "git"), `#!/bin/sh\necho >> '${ran}'\n`);
      chmodSync(join(folder, "git"), 0o755);
      const [path, here] = [process.env.PATH, process.cwd()];
      try {
        process.chdir(folder);
        process.env.PATH = ["", ".", folder, path].join(delimiter);
        expect(new TextDecoder().decode(await runGit(folder, ["--version"]))).toMatch(/^git version/);
      } finally {
        process.chdir(here);
        process.env.PATH = path;
      }
      expect(existsSync(ran)).toBe(false);
    });
  },
);
