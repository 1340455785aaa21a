import { basename, dirname, join } from "node:path";
import { screened } from "../engine/merge.ts";
import { readText } from "../files/read.ts";
import { ONE_JOB_BYTES } from "../jobs/look.ts";
import { type ReadableJob, sourceOf } from "../jobs/open.ts";
import { digestOfFile } from "../output/ledger.ts";
import { MANIFEST_NAME, type Manifest, plateFileName, writePlates } from "../output/plate-files.ts";
import { measure } from "../render/measure.ts";
import type { TrappedPair } from "../render/measurements.ts";
import { makePlates } from "../render/separation.ts";
import { StageCache } from "../render/stage-cache.ts";
import { type Command, onlyPath, optionalNumber, requiredText } from "./command.ts";
import { openRecipe } from "./open-recipe.ts";
import { LEAST_PPI, MOST_PPI, pixelLine, writing } from "./written.ts";

export const plates: Command = {
  name: "plates",
  usage: "RECIPE --out DIR [--ppi N] [--force]",
  does: "write every plate as an 8-bit grey PNG (black = full ink) and a manifest",
  options: {
    out: { type: "string" },
    ppi: { type: "string" },
    force: { type: "boolean", default: false },
  },
  async run(positionals, values, console, files) {
    const file = onlyPath(positionals, "recipe");
    const folder = requiredText(values, "out");
    const ppi = optionalNumber(values, "ppi", LEAST_PPI, MOST_PPI);
    const opened = await openRecipe(file, console, files);
    if (typeof opened === "number") return opened;
    const { recipe, artworkFile } = opened;

    const names = [...screened(recipe.plates.keys(), recipe.merges).map(plateFileName), MANIFEST_NAME];
    await writing(opened, { folder, names, ppi }, values, console, async ({ artwork, staging, progress }) => {
      const earlier = await plateFilesOf(join(folder, MANIFEST_NAME));
      const about = {
        recipe: { file: basename(file), sha256: (await digestOfFile(file, files.within)) ?? "" },
        artwork: {
          file: basename(artworkFile),
          sha256: (await digestOfFile(artworkFile, files.within)) ?? "",
        },
        traps: recipe.neighbours && (await trapsOf(opened)),
      };
      const made = makePlates(recipe, artwork, progress.part("plates", 0, 1));
      const manifest = await writePlates(staging, recipe, artwork, about, made);
      // Proofs may stand in the same folder: only what the last manifest calls a plate is a plate.
      const retired = await staging.commit((name) => earlier.has(name));
      return report(folder, manifest, retired, pixelLine(artwork));
    });
    return 0;
  },
};

/** At preview size, as everywhere else. */
async function trapsOf(job: ReadableJob): Promise<readonly TrappedPair[] | undefined> {
  const { trapped } = await measure(job.recipe, await sourceOf(job), new StageCache(ONE_JOB_BYTES));
  return trapped;
}

/** The plate files of an earlier run; none where there is no manifest, or another program's. */
async function plateFilesOf(manifest: string): Promise<Set<unknown>> {
  try {
    const { plates } = JSON.parse(await readText(manifest, [dirname(manifest)])) as Manifest;
    return new Set(plates.map(({ file }) => file));
  } catch {
    return new Set();
  }
}

function report(folder: string, manifest: Manifest, retired: readonly string[], artworkLine: string): string {
  const width = Math.max(...manifest.plates.map(({ name }) => name.length));
  const lines = manifest.plates.map(
    ({ name, file, ink, coverage, inkCm2 }) =>
      `  ${name.padEnd(width)}  ${coverage.toFixed(1).padStart(5)} %  ${inkCm2.toFixed(1).padStart(6)} cm²  ${ink.padEnd(width)}  ${join(folder, file)}`,
  );
  const folded = manifest.folded.map(({ name, into }) => `  ${name.padEnd(width)}  folded into ${into}`);
  const gone = retired.map((name) => `  ${join(folder, name)} taken away: no plate of that name any more`);
  return [
    `${manifest.plates.length} plates, ${artworkLine}`,
    ...lines,
    ...folded,
    ...gone,
    `  ${join(folder, MANIFEST_NAME)}`,
    "",
  ].join("\n");
}
