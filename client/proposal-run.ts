import { existsSync } from "node:fs";
import { basename, dirname, extname, join } from "node:path";
import { runProgram } from "./program.ts";

/** What the editor asks for. */
export interface ProposalOptions {
  readonly artwork: string;
  /** Names with colours, as `--garments` takes them. */
  readonly garments: string;
  readonly shop: string | undefined;
  /** A length with its unit; undefined for as wide as press and pixels allow. */
  readonly width?: string | undefined;
  /** How far the program may read, as its arguments. */
  readonly within: readonly string[];
}

/** The recipe that was written. */
export interface ProposalResult {
  readonly recipe: string;
  /** What cannot be printed well, and why. */
  readonly notes: readonly string[];
}

/** The file's pixels across what prints of it; "drawing" for one that is sharp at any width; undefined where that cannot be told. */
export async function pixelsAcross(
  program: string,
  { artwork, within }: Pick<ProposalOptions, "artwork" | "within">,
  signal: AbortSignal,
): Promise<number | "drawing" | undefined> {
  const args = ["propose", artwork, "--look", "--format", "json", ...within];
  const { status, out } = await runProgram(program, args, signal);
  if (status !== 0) return undefined;
  return (JSON.parse(out) as { pixels: number | null }).pixels ?? "drawing";
}

/** Beside the artwork, under its name; never a file that stands there already. */
export function freeRecipeFile(artwork: string, taken: (file: string) => boolean = existsSync): string {
  const start = join(dirname(artwork), basename(artwork, extname(artwork)));
  let file = `${start}.sep.yaml`;
  for (let n = 2; taken(file); n++) file = `${start}-${n}.sep.yaml`;
  return file;
}

/** Runs the program's own command in a process of its own, so that a broken picture harms nothing else. */
export async function runProposal(
  program: string,
  { artwork, garments, shop, width, within }: ProposalOptions,
  signal: AbortSignal,
): Promise<ProposalResult> {
  const args = ["propose", artwork, "--out", freeRecipeFile(artwork), "--garments", garments];
  if (shop !== undefined) args.push("--shop", shop);
  if (width !== undefined) args.push("--width", width);
  const { status, out, err } = await runProgram(program, [...args, "--format", "json", ...within], signal);
  signal.throwIfAborted();
  if (status === 0) return JSON.parse(out) as ProposalResult;
  throw new Error(err.trim().split("\n").at(-1) || `the proposal ended with status ${status}`);
}
