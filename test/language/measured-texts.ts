import { spawnSync } from "node:child_process";
import { fileURLToPath } from "node:url";

export type TextKind = "recipe" | "readings";

/** What a hostile text costs, and what is said of it. */
export interface MeasuredText {
  /** Seconds of the processor. */
  readonly cpu: number;
  readonly findings: number;
  /** Characters of the longest message. */
  readonly longest: number;
}

/** What hangs is given up. */
const LONGEST_MS = 220_000;

/** Hostile texts of about `length` characters, each read and checked, in a process of at most 300 MB. */
export function measuredTexts(kind: TextKind, length: number): Record<string, MeasuredText> {
  const program = fileURLToPath(new URL("measure-texts.ts", import.meta.url));
  const { status, stdout, stderr } = spawnSync(
    process.execPath,
    ["--max-old-space-size=300", "--import", "tsx", program, kind, String(length)],
    { encoding: "utf8", maxBuffer: 1 << 26, timeout: LONGEST_MS },
  );
  if (status !== 0) throw new Error(`the process that reads hostile texts ended with ${status}: ${stderr}`);
  return JSON.parse(stdout);
}

/** Shares of a second are start and chance. */
const NOTHING = 0.4;

/** Texts whose work grows faster than they do, of twice the length: all that takes four times as long would show. */
export function growingFaster(kind: TextKind): string[] {
  const [once, twice] = [measuredTexts(kind, 200_000), measuredTexts(kind, 400_000)];
  return Object.keys(once).filter(
    (name) => twice[name]!.cpu > NOTHING && twice[name]!.cpu > 3.2 * Math.max(once[name]!.cpu, NOTHING / 4),
  );
}
