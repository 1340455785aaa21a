import { fork } from "node:child_process";
import { existsSync } from "node:fs";
import { basename, dirname, extname, join } from "node:path";

/** What the editor asks for. */
export interface ProposalQuestion {
  readonly artwork: string;
  /** Names with colours, as `--garments` takes them. */
  readonly garments: string;
  readonly shop: string | undefined;
}

export interface ProposalAnswer {
  readonly recipe: string;
  /** What cannot be printed well, and why. */
  readonly notes: readonly string[];
}

/** Beside the artwork, under its name; never a file that stands there already. */
export function freeRecipeFile(artwork: string, taken: (file: string) => boolean = existsSync): string {
  const start = join(dirname(artwork), basename(artwork, extname(artwork)));
  let file = `${start}.sep.yaml`;
  for (let n = 2; taken(file); n++) file = `${start}-${n}.sep.yaml`;
  return file;
}

/** Runs the program's own command in a process of its own, so that a broken picture harms nothing else. */
export function runProposal(
  program: string,
  { artwork, garments, shop }: ProposalQuestion,
  signal: AbortSignal,
): Promise<ProposalAnswer> {
  const recipe = freeRecipeFile(artwork);
  const args = ["propose", artwork, "--out", recipe, "--garments", garments];
  if (shop !== undefined) args.push("--shop", shop);
  return new Promise((resolve, reject) => {
    const child = fork(program, args, {
      silent: true,
      signal,
      env: { ...process.env, ELECTRON_RUN_AS_NODE: "1" },
      execArgv: [],
    });
    const said: string[] = [];
    child.stderr?.setEncoding("utf8").on("data", (text: string) => said.push(text));
    child.stdout?.resume();
    child.on("error", reject);
    child.on("close", (status) => {
      const lines = said
        .join("")
        .split("\n")
        .filter((line) => line !== "");
      if (status === 0) {
        const notes = lines.flatMap((line) => /: note: (.*)/.exec(line)?.[1] ?? []);
        resolve({ recipe, notes });
      } else reject(new Error(lines.at(-1) ?? `the proposal ended with status ${status}`));
    });
  });
}
