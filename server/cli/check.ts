import { readdir, stat } from "node:fs/promises";
import { join, resolve } from "node:path";
import { atPreviewSize, atPrintSize, checkWithPixels, ONE_JOB_BYTES } from "../jobs/look.ts";
import { openJob } from "../jobs/open.ts";
import { atLeast, LEVELS, type Level } from "../language/finding.ts";
import { type PlacedFinding, placed } from "../language/placed.ts";
import { FileError } from "../language/project.ts";
import { counted } from "../language/words.ts";
import { StageCache } from "../render/stage-cache.ts";
import { annotation } from "./annotations.ts";
import { type Command, oneOf, UsageError } from "./command.ts";
import { findingJson, findingLine } from "./findings.ts";
import { startProgress } from "./progress.ts";
import { sarif } from "./sarif.ts";

const CHECKED = /\.(?:sep|shop|order)\.ya?ml$|^shop\.ya?ml$/i;
const FORMATS = ["text", "json", "sarif", "github"];
const NOT_SEARCHED = /^(?:\..*|node_modules)$/;

export const check: Command = {
  name: "check",
  usage:
    "PATH… [--full | --no-artwork] [--format text|json|sarif|github] [--level error|warning|note] [--shard I/N]",
  does: "hold recipes, shop files and orders against the format and the rules; --full looks at the artwork at print size, --no-artwork not at all; --shard takes one part of N of the files",
  options: {
    format: { type: "string", default: "text" },
    level: { type: "string", default: "warning" },
    full: { type: "boolean", default: false },
    "no-artwork": { type: "boolean", default: false },
    shard: { type: "string" },
  },
  async run(paths, { format, level, full, "no-artwork": withoutArtwork, shard }, console, files) {
    if (paths.length === 0) throw new UsageError("a recipe, a shop file, an order or a folder is missing");
    if (!FORMATS.includes(String(format)))
      throw new UsageError(`--format takes ${oneOf(FORMATS)}, not "${format}"`);
    if (!isLevel(level)) throw new UsageError(`--level takes ${oneOf(LEVELS)}, not "${level}"`);

    if (full && withoutArtwork)
      throw new UsageError("--full and --no-artwork say the opposite; give one of them");

    const inShard = readShard(shard);
    const checked = (await filesIn(paths)).filter((_, i) => inShard(i));
    const findings = new Map<string, PlacedFinding>();
    const progress = startProgress(console);
    for (const [i, file] of checked.entries()) {
      const job = await openJob(file, files, new Date().toISOString().slice(0, 10));
      const onProgress = progress.part(`checking ${file}`, i / checked.length, (i + 1) / checked.length);
      const print = full ? atPrintSize : atPreviewSize(new StageCache(ONE_JOB_BYTES));
      const { findings: found } = withoutArtwork ? job : await checkWithPixels(job, print, onProgress);
      for (const finding of placed(found, job.project)) {
        // A shop file's findings come up again with every recipe that uses it, under whatever path leads there.
        const key = JSON.stringify({ ...findingJson(finding), file: resolve(finding.file) });
        if (atLeast(finding.level, level) && !findings.has(key)) findings.set(key, finding);
      }
    }

    progress.end();
    const found = [...findings.values()];
    const standing = found.filter(({ allowed }) => allowed === undefined);
    const { out } = console;
    if (format === "json") {
      out.write(`${JSON.stringify({ files: checked, findings: found.map(findingJson) }, null, 2)}\n`);
    } else if (format === "sarif") {
      out.write(sarif(found));
    } else {
      for (const finding of found)
        if (format === "github") out.command(annotation(finding));
        else out.write(findingLine(finding));
      out.write(`${summary(checked.length, found)}\n`);
    }
    return standing.length > 0 ? 1 : 0;
  },
};

/**
 * Which files of the sorted list belong to part I of N: every Nth, so that parts take about the same time. All parts
 * together are all files, whichever machines they run on.
 */
function readShard(text: unknown): (i: number) => boolean {
  if (text === undefined) return () => true;
  const [, part, parts] = /^(\d{1,6})\/(\d{1,6})$/.exec(String(text)) ?? [];
  const [i, n] = [Number(part), Number(parts)];
  if (!(i >= 1 && i <= n))
    throw new UsageError(`--shard takes a part of several, such as 2/5, not "${text}"`);
  return (at) => at % n === i - 1;
}

function isLevel(text: unknown): text is Level {
  return LEVELS.includes(text as Level);
}

function summary(files: number, found: readonly PlacedFinding[]): string {
  const checked = counted(files, "file");
  const standing = found.filter(({ allowed }) => allowed === undefined);
  const parts = LEVELS.map((level) => ({ level, n: standing.filter((f) => f.level === level).length }))
    .filter(({ n }) => n > 0)
    .map(({ level, n }) => counted(n, level));
  const allowed = found.length - standing.length;
  if (allowed > 0) parts.push(`${allowed} allowed`);
  return `${checked}, ${parts.length > 0 ? parts.join(", ") : "no problems"}`;
}

/** The files that the paths name; folders are searched for recipes, shop files and orders. */
async function filesIn(paths: readonly string[]): Promise<string[]> {
  const files = new Set<string>();
  for (const path of paths) {
    const info = await stat(path).catch(() => undefined);
    if (!info?.isDirectory()) {
      files.add(path);
      continue;
    }
    const before = files.size;
    for await (const file of search(path)) files.add(file);
    if (files.size === before)
      throw new FileError(path, "no *.sep.yaml, *.shop.yaml or *.order.yaml in this folder");
  }
  // Sorted, so that every machine counts the same.
  return [...files].sort();
}

async function* search(folder: string): AsyncGenerator<string> {
  const entries = await readdir(folder, { withFileTypes: true });
  entries.sort((a, b) => (a.name < b.name ? -1 : 1));
  for (const entry of entries) {
    const path = join(folder, entry.name);
    if (entry.isDirectory() && !NOT_SEARCHED.test(entry.name)) yield* search(path);
    else if (entry.isFile() && CHECKED.test(entry.name)) yield path;
  }
}
