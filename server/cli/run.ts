import { lstat, readdir, stat } from "node:fs/promises";
import { basename, join } from "node:path";
import { pictureFiles } from "../jobs/open.ts";
import { commitOf, runsFile, runsOf } from "../jobs/runs.ts";
import { FileError } from "../language/project.ts";
import { type Run, runsHead, runText } from "../language/runs.ts";
import { suggestion } from "../language/suggest.ts";
import { parseDay } from "../language/values/day.ts";
import { counted } from "../language/words.ts";
import { jobFingerprint } from "../output/fingerprint.ts";
import { digestOfFile } from "../output/ledger.ts";
import { replaceFile } from "../output/replace-file.ts";
import { OutputError } from "../output/staging.ts";
import { type Command, onlyPath, UsageError, type Values } from "./command.ts";
import { openRecipe } from "./open-recipe.ts";
import { setupNamed } from "./setup.ts";

/** Signs of a digest that tell two films apart. */
const DIGEST = 12;
const FILM = /\.(?:pdf|tiff?|png)$/i;

export const run: Command = {
  name: "run",
  usage:
    "RECIPE --setup ID --printed N [--spoiled N] [--garments A,B] [--order NUMBER] [--films PATH] [--changed TEXT] [--readings FILE] [--date DATE]",
  does: "add what was printed to the recipe's record of runs, which the ticket of a reorder shows",
  options: {
    setup: { type: "string" },
    printed: { type: "string" },
    spoiled: { type: "string", default: "0" },
    garments: { type: "string" },
    order: { type: "string" },
    films: { type: "string" },
    changed: { type: "string" },
    readings: { type: "string" },
    date: { type: "string" },
  },
  async run(positionals, values, console, files) {
    const file = onlyPath(positionals, "recipe");
    const printed = countOf(values, "printed", 1);
    const spoiled = countOf(values, "spoiled", 0);
    const day = parseDay(textOf(values.date) ?? new Date().toISOString().slice(0, 10));
    if (!day.ok) throw new UsageError(`--date: ${day.problem}`);
    const job = await openRecipe(file, console, files);
    if (typeof job === "number") return job;
    const setup = setupNamed(job.recipe, values.setup);
    const garments = garmentsOf(values, job.recipe.setups.get(setup)!.garments);
    const films = textOf(values.films);
    const readings = textOf(values.readings);
    const digest = async (path: string) => {
      const found = await digestOfFile(path, files.within);
      if (found === undefined) throw new FileError(path, "there is no such file, or it may not be read");
      return found.slice(0, DIGEST);
    };

    const record = runsFile(file);
    const there = await lstat(record).catch(() => undefined);
    // What stands there may come from anybody, and a link may lead anywhere.
    if (there && !there.isFile()) throw new OutputError(`${record}: it is no plain file; move it away`);
    await runsOf(job);
    const commit = await commitOf(job);
    const entry: Run = {
      date: day.value,
      setup,
      garments,
      printed,
      spoiled,
      order: textOf(values.order),
      recipe: await jobFingerprint(job.project, pictureFiles(job), files.within),
      commit,
      films: films === undefined ? undefined : await digests(films, digest),
      changed: textOf(values.changed),
      readings: readings === undefined ? undefined : { file: readings, digest: await digest(readings) },
    };
    const before = there ? await files.readText(record) : runsHead(basename(file));
    await replaceFile(record, `${before}${before.endsWith("\n") ? "" : "\n"}${runText(entry)}`, {
      make: true,
    });
    console.out.write(`${counted(printed, "garment")} of setup ${setup} noted in ${record}\n`);
    if (commit === undefined)
      console.err.write(
        `${file}: no commit holds it as it was printed; commit recipe and shop file before a run, and a reorder's ticket tells what changed since\n`,
      );
    return 0;
  },
};

function textOf(value: Values[string]): string | undefined {
  return typeof value === "string" && value !== "" ? value : undefined;
}

function countOf(values: Values, name: string, least: number): number {
  const text = values[name];
  if (typeof text !== "string") throw new UsageError(`--${name} is missing`);
  const count = /^\d{1,7}$/.test(text) ? Number(text) : Number.NaN;
  if (!(count >= least))
    throw new UsageError(`--${name} takes a whole number from ${least} up, not "${text}"`);
  return count;
}

function garmentsOf(values: Values, known: readonly string[]): readonly string[] {
  const asked = textOf(values.garments)?.split(",");
  if (!asked) return known;
  for (const name of asked)
    if (!known.includes(name))
      throw new UsageError(`this setup prints on no "${name}"${suggestion(name, known, "it prints on")}`);
  return asked;
}

/** Of a film, or of every film in a folder. */
async function digests(
  path: string,
  digest: (file: string) => Promise<string>,
): Promise<Record<string, string>> {
  const isFolder = (await stat(path).catch(() => undefined))?.isDirectory() === true;
  const names = isFolder ? (await readdir(path)).filter((name) => FILM.test(name)).sort() : [basename(path)];
  if (names.length === 0) throw new UsageError(`--films: there is no film in ${path}`);
  const found: Record<string, string> = {};
  for (const name of names) found[name] = await digest(isFolder ? join(path, name) : path);
  return found;
}
