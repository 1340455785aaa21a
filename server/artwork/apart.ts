import { spawn } from "node:child_process";
import { existsSync } from "node:fs";
import { fileURLToPath } from "node:url";

/** Longer than any sound drawing or page takes. */
const DEADLINE_MS = 300_000;

/** What a program said and handed out before it ended. */
export interface Ended {
  /** Undefined where a signal ended it. */
  readonly code: number | undefined;
  readonly late: boolean;
  readonly said: string;
}

/** The built program of this name beside this one; undefined in sources. */
export function programBeside(name: string): string | undefined {
  const program = fileURLToPath(new URL(name, import.meta.url));
  return existsSync(program) ? program : undefined;
}

/**
 * Runs a program of ours in a process of its own, which what it reads may end: writes `input` to it and passes its output
 * on as it comes. Ended at the deadline.
 */
export function runApart(
  program: string,
  args: readonly string[],
  input: readonly Uint8Array[],
  onOutput: (part: Uint8Array) => void,
  deadlineMs = DEADLINE_MS,
): Promise<Ended> {
  return new Promise((resolve, reject) => {
    const child = spawn(process.execPath, [program, ...args], {
      // The editor's own executable is Node when told so.
      env: { ...process.env, ELECTRON_RUN_AS_NODE: "1" },
      windowsHide: true,
    });
    let late = false;
    const deadline = setTimeout(() => {
      late = true;
      child.kill("SIGKILL");
    }, deadlineMs);
    let said = "";
    child.stdout.on("data", onOutput);
    child.stderr.setEncoding("utf8").on("data", (part: string) => {
      said = (said + part).slice(0, 2000);
    });
    child.on("error", (error) => {
      clearTimeout(deadline);
      reject(error);
    });
    child.on("close", (code) => {
      clearTimeout(deadline);
      resolve({ code: code ?? undefined, late, said: said.trim() });
    });
    // It may end before it has read all.
    child.stdin.on("error", () => {});
    for (const part of input) child.stdin.write(part);
    child.stdin.end();
  });
}
