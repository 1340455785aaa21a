import { basename, dirname, join } from "node:path";
import packageInfo from "../../package.json" with { type: "json" };
import { readText } from "../files/read.ts";
import { atPreviewSize, lookAt, ONE_JOB_BYTES } from "../jobs/look.ts";
import { pictureFiles } from "../jobs/open.ts";
import { lastRunTexts } from "../jobs/runs.ts";
import { ticketHtml } from "../jobs/ticket.ts";
import { printable } from "../language/printable.ts";
import { FileError } from "../language/project.ts";
import { type FilmsNote, filmsNoteName, readFilmsNote } from "../output/films/films-note.ts";
import { filmFiles } from "../output/films/setup-films.ts";
import { jobFingerprint } from "../output/fingerprint.ts";
import { Staging } from "../output/staging.ts";
import { StageCache } from "../render/stage-cache.ts";
import { type Command, onlyPath, requiredText, UsageError } from "./command.ts";
import { openRecipe } from "./open-recipe.ts";
import { startProgress } from "./progress.ts";
import { setupNamed } from "./setup.ts";

export const ticket: Command = {
  name: "ticket",
  usage: "RECIPE --setup ID --out FILE.html [--date DATE] [--force]",
  does: "write a setup's job ticket: one page to print, with proofs, stations, inks, findings and cautions",
  options: {
    setup: { type: "string" },
    out: { type: "string" },
    date: { type: "string" },
    force: { type: "boolean", default: false },
  },
  async run(positionals, values, console, files) {
    const file = onlyPath(positionals, "recipe");
    const out = requiredText(values, "out");
    if (!/\.html?$/i.test(out)) throw new UsageError(`--out takes the name of an HTML file, not "${out}"`);
    const opened = await openRecipe(file, console, files);
    if (typeof opened === "number") return opened;
    const { project, recipe } = opened;
    const setupName = setupNamed(recipe, values.setup);
    const progress = startProgress(console);
    const staging = await Staging.open(dirname(out), { force: values.force === true });
    try {
      await staging.claim([basename(out)]);
      const onProgress = progress.part("ticket", 0, 1);
      const looked = await lookAt(opened, atPreviewSize(new StageCache(ONE_JOB_BYTES)), (done) =>
        onProgress(done * 0.8),
      );
      const jobName = basename(file).replace(/\.sep\.ya?ml$|\.ya?ml$/i, "");
      const fingerprint = await jobFingerprint(project, pictureFiles(opened), files.within);
      const note = join(dirname(out), filmsNoteName(jobName, setupName));
      const made = await filmsIn(note, { setup: setupName, recipe: fingerprint });
      const page = await ticketHtml(looked, {
        setup: setupName,
        films: made?.films ?? filmFiles({ recipe, setupName, jobName, format: "pdf" }),
        made: made && { ...made, leftOut: new Map(made.films.map(({ plate, leftOut }) => [plate, leftOut])) },
        lastRun: await lastRunTexts(opened, setupName),
        date: typeof values.date === "string" ? values.date : new Date().toISOString().slice(0, 10),
        fingerprint,
        producer: `Platewright ${packageInfo.version}`,
      });
      await staging.write(basename(out), page);
      await staging.commit();
      progress.end();
      console.out.write(`job ticket of setup ${setupName}\n  ${printable(out)}\n`);
    } catch (error) {
      progress.end();
      staging.discard();
      throw error;
    }
    return 0;
  },
};

/** Films of this very recipe that lie beside the ticket. */
async function filmsIn(
  note: string,
  of: Pick<FilmsNote, "setup" | "recipe">,
): Promise<FilmsNote | undefined> {
  try {
    return readFilmsNote(await readText(note, [dirname(note)]), of);
  } catch (error) {
    if (error instanceof FileError) return undefined;
    throw error;
  }
}
