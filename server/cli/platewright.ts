#!/usr/bin/env node
import { parseArgs } from "node:util";
import packageInfo from "../../package.json" with { type: "json" };
import { ArtworkError } from "../artwork/artwork.ts";
import { diskWithin } from "../jobs/disk.ts";
import { printable } from "../language/printable.ts";
import { FileError } from "../language/project.ts";
import { suggestion } from "../language/suggest.ts";
import { OutputError } from "../output/staging.ts";
import { RevisionError } from "../revisions/git.ts";
import { calibration } from "./calibrate.ts";
import { check } from "./check.ts";
import { type Command, type Console, consoleOn, type ExitStatus, UsageError } from "./command.ts";
import { films } from "./films.ts";
import { lsp } from "./lsp.ts";
import { order } from "./order.ts";
import { plates } from "./plates.ts";
import { proof } from "./proof.ts";
import { propose } from "./propose.ts";
import { review } from "./review.ts";
import { run } from "./run.ts";
import { target } from "./target.ts";
import { ticket } from "./ticket.ts";
import { tune } from "./tune.ts";
import { words } from "./words.ts";

const COMMANDS: readonly Command[] = [
  check,
  plates,
  proof,
  films,
  ticket,
  order,
  run,
  target,
  calibration,
  propose,
  tune,
  review,
  words,
  lsp,
];

/** Of every command: the folders, links followed, from which files are read; everywhere where none is named. */
const WITHIN = { within: { type: "string", multiple: true } } as const;

/** Errors whose message says all. */
const TOLD = [FileError, ArtworkError, OutputError, RevisionError];

/** Runs one command line, the program's name left out. */
async function main(args: readonly string[], console: Console): Promise<ExitStatus> {
  const [name, ...rest] = args;
  if (name === "--version") {
    console.out.write(`platewright ${packageInfo.version}\n`);
    return 0;
  }
  if (name === undefined || name === "--help" || name === "help") {
    (name === undefined ? console.err : console.out).write(help());
    return name === undefined ? 2 : 0;
  }
  const command = COMMANDS.find((c) => c.name === name);
  try {
    if (!command) {
      const known = COMMANDS.map((c) => c.name);
      throw new UsageError(`there is no command "${name}"${suggestion(name, known, "commands are")}`);
    }
    if (rest.includes("--help")) {
      console.out.write(`platewright ${command.name} ${command.usage}\n  ${command.does}\n`);
      return 0;
    }
    const { positionals, values } = readArguments(rest, command);
    const { within, ...own } = values;
    const files = diskWithin(Array.isArray(within) ? within.map(String) : undefined);
    return await command.run(
      positionals,
      own as Record<string, string | boolean | undefined>,
      console,
      files,
    );
  } catch (error) {
    if (error instanceof UsageError) {
      console.err.write(`platewright: ${printable(error.message)}\n`);
      if (command) console.err.write(`usage: platewright ${command.name} ${command.usage}\n`);
      return 2;
    }
    if (TOLD.some((kind) => error instanceof kind)) {
      console.err.write(`${printable((error as Error).message)}\n`);
      return 2;
    }
    console.err.write(`${(error as Error).stack ?? error}\n`);
    return 1;
  }
}

function readArguments(args: string[], command: Command): ReturnType<typeof parseArgs> {
  try {
    return parseArgs({ args, options: { ...command.options, ...WITHIN }, allowPositionals: true });
  } catch (error) {
    // The parser's first sentence says what is wrong; the rest is about its own conventions.
    const [sentence = ""] = (error as Error).message.split(/\.(?:\s|$)/);
    throw new UsageError(sentence);
  }
}

function help(): string {
  const lines = COMMANDS.map(({ name, usage, does }) => `  platewright ${name} ${usage}\n      ${does}\n`);
  return `Separation recipes for screen printing.\n\n${lines.join("")}\nEvery command takes --within DIR, more than once if need be: it reads files from these folders alone.\nExit status: 0 done, 1 findings, 2 wrong usage or a file that cannot be read or written; review also 3, the print changed.\n`;
}

// A reader that closes early, such as `head`, has seen enough.
process.stdout.on("error", (error: NodeJS.ErrnoException) => {
  if (error.code === "EPIPE") process.exit(0);
  throw error;
});

process.exitCode = await main(process.argv.slice(2), consoleOn(process.stdout, process.stderr));
