import { spawnSync } from "node:child_process";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { unpackVsix } from "../client/package/vsix.ts";
import { quantile, type Row, times } from "./measure.ts";

const script = fileURLToPath(new URL("activate.cjs", import.meta.url));
const ROUNDS = 20;

/** The packaged extension, as the editor counts it: its bundle loaded and `activate` done, each time in a new process. */
export async function activationRows(): Promise<Row[]> {
  const folder = mkdtempSync(join(tmpdir(), "platewright-bench-"));
  try {
    unpackVsix(folder);
    const rounds = times(ROUNDS, () => activated(folder));
    const all = rounds.map(({ load, activate }) => load + activate);
    const load = quantile(
      rounds.map((round) => round.load),
      0.5,
    );
    return [
      {
        what: "extension activation",
        measured: `median ${quantile(all, 0.5).toFixed(0)} ms, p95 ${quantile(all, 0.95).toFixed(0)} ms; ${load.toFixed(0)} ms of it loading`,
        target: "median ≤ 200 ms",
        met: quantile(all, 0.5) <= 200,
      },
    ];
  } finally {
    rmSync(folder, { recursive: true });
  }
}

function activated(folder: string): { load: number; activate: number } {
  const { status, stdout, stderr } = spawnSync(process.execPath, [script, folder], { encoding: "utf8" });
  if (status !== 0) throw new Error(`the extension does not activate: ${stderr}`);
  return JSON.parse(stdout);
}
