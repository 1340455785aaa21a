import type { ParseArgsConfig } from "node:util";
import type { JobFiles } from "../jobs/open.ts";
import { printableLines } from "../language/printable.ts";

/** 0 done, 1 the recipe has findings, 2 wrong usage or a file that cannot be read or written, 3 the print changed. */
export type ExitStatus = 0 | 1 | 2 | 3;

export type Options = NonNullable<ParseArgsConfig["options"]>;
export type Values = Readonly<Record<string, string | boolean | undefined>>;

/** Where a command speaks: results on `out`, messages and progress on `err`. */
export interface Console {
  readonly out: Sink & { /** For what is a workflow command on purpose. */ command(text: string): unknown };
  readonly err: Sink & { readonly isTTY?: boolean; readonly columns?: number; draw(text: string): unknown };
}

/** Takes lines of text; whatever is in them, they steer neither a terminal nor a runner. */
export interface Sink {
  write(text: string): unknown;
}

/** A console on two streams. */
export function consoleOn(out: NodeJS.WritableStream, err: NodeJS.WriteStream): Console {
  return {
    out: {
      write: (text) => out.write(printableLines(text)),
      command: (text) => out.write(text),
    },
    err: {
      isTTY: err.isTTY,
      get columns() {
        return err.columns;
      },
      write: (text) => err.write(printableLines(text)),
      draw: (text) => err.write(text),
    },
  };
}

export interface Command {
  readonly name: string;
  /** What follows the name, such as `RECIPE --out DIR`. */
  readonly usage: string;
  /** One line for the list of commands. */
  readonly does: string;
  readonly options: Options;
  /** `files` are those that may be read. */
  run(positionals: readonly string[], values: Values, console: Console, files: JobFiles): Promise<ExitStatus>;
}

/** The command was called wrongly. */
export class UsageError extends Error {
  constructor(message: string) {
    super(message);
    this.name = "UsageError";
  }
}

/** The one path that most commands take. */
export function onlyPath(positionals: readonly string[], what: string): string {
  const [path, extra] = positionals;
  if (path === undefined) throw new UsageError(`${what} is missing`);
  if (extra !== undefined) throw new UsageError(`one ${what} at a time; "${extra}" is one too many`);
  return path;
}

export function requiredText(values: Values, option: string): string {
  const text = values[option];
  if (typeof text !== "string" || text === "") throw new UsageError(`--${option} is missing`);
  return text;
}

/** The words that an option takes, as a sentence has them: "a, b or c". */
export function oneOf(words: readonly string[]): string {
  return [words.slice(0, -1).join(", "), words.at(-1)].join(" or ");
}

/** A number from an option, or undefined where it is not given. */
export function optionalNumber(
  values: Values,
  option: string,
  least: number,
  most: number,
): number | undefined {
  const text = values[option];
  if (text === undefined) return undefined;
  const value = typeof text === "string" && text.trim() !== "" ? Number(text) : Number.NaN;
  if (!(value >= least && value <= most)) {
    throw new UsageError(`--${option} takes a number from ${least} to ${most}, not "${text}"`);
  }
  return value;
}
