import type { ParseArgsConfig } from "node:util";

/** 0 done, 1 the recipe has findings, 2 wrong usage or a file that cannot be read or written, 3 the print changed. */
export type ExitStatus = 0 | 1 | 2 | 3;

export type Options = NonNullable<ParseArgsConfig["options"]>;
export type Values = Readonly<Record<string, string | boolean | undefined>>;

/** Where a command speaks: results on `out`, messages and progress on `err`. */
export interface Console {
  readonly out: { write(text: string): unknown };
  readonly err: { write(text: string): unknown; readonly isTTY?: boolean; readonly columns?: number };
}

export interface Command {
  readonly name: string;
  /** What follows the name, such as `RECIPE --out DIR`. */
  readonly usage: string;
  /** One line for the list of commands. */
  readonly does: string;
  readonly options: Options;
  run(positionals: readonly string[], values: Values, console: Console): Promise<ExitStatus>;
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
