import { spawn } from "node:child_process";
import type { Told } from "../server/cli/progress.ts";

/** How the program ended, and what it wrote to stdout and stderr. */
export interface ProgramResult {
  /** Exit status; null where it was ended by a signal. */
  readonly status: number | null;
  readonly out: string;
  readonly err: string;
}

/**
 * Runs the command line program beside the extension in a process of its own. The editor's own executable is Node when
 * told so. Ended by the signal it takes away what it has begun to write. Its working folder is the editor's, or `cwd`.
 */
export function runProgram(
  program: string,
  args: readonly string[],
  signal: AbortSignal,
  onProgress: (told: Told) => void = () => {},
  cwd?: string,
): Promise<ProgramResult> {
  return new Promise((resolve, reject) => {
    const child = spawn(process.execPath, [program, ...args], {
      cwd,
      env: { ...process.env, ELECTRON_RUN_AS_NODE: "1" },
      stdio: ["ignore", "pipe", "pipe", "ipc"],
    });
    const texts = { out: "", err: "" };
    child.on("message", (told) => onProgress(told as Told));
    child.stdout?.setEncoding("utf8").on("data", (text: string) => {
      texts.out += text;
    });
    child.stderr?.setEncoding("utf8").on("data", (text: string) => {
      texts.err += text;
    });
    const stop = () => child.kill();
    signal.addEventListener("abort", stop, { once: true });
    if (signal.aborted) stop();
    child.on("error", reject);
    child.on("close", (status) => {
      signal.removeEventListener("abort", stop);
      resolve({ status, ...texts });
    });
  });
}
