import { execFile } from "node:child_process";
import { programOnPath } from "../files/program.ts";

/** A call of git that did not give what was asked. */
export class GitFault extends Error {
  /** `missing`: there is no git; `large`: the answer is longer than asked for. */
  readonly kind: "missing" | "large" | "failed";

  constructor(kind: GitFault["kind"]) {
    super(`git: ${kind}`);
    this.kind = kind;
  }
}

/**
 * What a repository's own settings could start is off: they come from whoever made the folder. A repository that lies
 * bare among somebody's files is none (`safe.bareRepository`, git 2.38); objects that are elsewhere are not fetched, by
 * git 2.44 and later (`GIT_NO_LAZY_FETCH`) as by older ones, which find no protocol allowed. git-config(1), git(1).
 */
const SETTINGS = [
  "safe.bareRepository=explicit",
  "core.fsmonitor=false",
  "core.hooksPath=/dev/null",
  "core.sshCommand=false",
  "core.askPass=false",
  "core.gitProxy=",
  "credential.helper=",
  "diff.external=",
  "protocol.allow=never",
];

const ENVIRONMENT = {
  GIT_ALLOW_PROTOCOL: "none",
  GIT_NO_LAZY_FETCH: "1",
  GIT_OPTIONAL_LOCKS: "0",
  GIT_TERMINAL_PROMPT: "0",
  GIT_ASKPASS: "",
  GIT_EXTERNAL_DIFF: "",
  GIT_PAGER: "cat",
};

/** Runs git in a folder; gives at most `most` bytes of what it prints. Throws GitFault. */
export async function git(folder: string, args: readonly string[], most = 1 << 20): Promise<Uint8Array> {
  const program = await programOnPath(process.platform === "win32" ? "git.exe" : "git");
  if (program === undefined) throw new GitFault("missing");
  return new Promise((done, fail) => {
    execFile(
      program,
      ["--no-pager", ...SETTINGS.flatMap((setting) => ["-c", setting]), "-C", folder, ...args],
      {
        encoding: "buffer",
        maxBuffer: most,
        windowsHide: true,
        env: { ...process.env, ...ENVIRONMENT },
      },
      (error, stdout) => {
        if (!error) return done(stdout);
        const { code } = error as NodeJS.ErrnoException;
        const kinds: Partial<Record<string, GitFault["kind"]>> = {
          ENOENT: "missing",
          ERR_CHILD_PROCESS_STDIO_MAXBUFFER: "large",
        };
        fail(new GitFault(kinds[String(code)] ?? "failed"));
      },
    ).stdin?.end();
  });
}
