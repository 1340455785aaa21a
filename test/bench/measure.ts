import { spawnSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";

/** One line of the table that `npm run bench` prints. */
export interface Row {
  readonly what: string;
  readonly measured: string;
  readonly target: string;
  readonly met: boolean;
}

export interface Run {
  readonly seconds: number;
  /** Peak resident memory of the process, in MB (10⁶ bytes). */
  readonly megabytes: number;
}

export const program = fileURLToPath(new URL("../../dist/platewright.js", import.meta.url));
const reporter = fileURLToPath(new URL("report-memory.cjs", import.meta.url));

/** Runs the built program as a user would and measures the whole process, start and output included. */
export function runProgram(...args: string[]): Run {
  return runBuilt(program, ...args);
}

/** The same of another built program, such as the one in the package. */
export function runBuilt(built: string, ...args: string[]): Run {
  const folder = mkdtempSync(join(tmpdir(), "platewright-bench-"));
  const memory = join(folder, "memory");
  const start = performance.now();
  const { status, stderr } = spawnSync(process.execPath, ["--require", reporter, built, ...args], {
    encoding: "utf8",
    env: { ...process.env, BENCH_MEMORY_FILE: memory },
  });
  const seconds = (performance.now() - start) / 1000;
  if (status !== 0) throw new Error(`platewright ${args.join(" ")}: ${stderr}`);
  const megabytes = Number(readFileSync(memory, "utf8")) / 1e6;
  rmSync(folder, { recursive: true });
  return { seconds, megabytes };
}

/** The median run of several by time, with the highest memory of all. */
export function typical(runs: readonly Run[]): Run {
  const sorted = [...runs].sort((a, b) => a.seconds - b.seconds);
  return {
    seconds: sorted[sorted.length >> 1]!.seconds,
    megabytes: Math.max(...runs.map(({ megabytes }) => megabytes)),
  };
}

export function times<T>(n: number, run: () => T): T[] {
  return Array.from({ length: n }, run);
}

/** "median 4.1 ms, p95 6.0 ms" */
export function figures(times: readonly number[]): string {
  return `median ${quantile(times, 0.5).toFixed(1)} ms, p95 ${quantile(times, 0.95).toFixed(1)} ms`;
}

export function quantile(times: readonly number[], share: number): number {
  const sorted = [...times].sort((a, b) => a - b);
  return sorted[Math.min(sorted.length - 1, Math.floor(sorted.length * share))] ?? Number.NaN;
}
