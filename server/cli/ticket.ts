import { basename, dirname } from "node:path";
import packageInfo from "../../package.json" with { type: "json" };
import { linearFromLab } from "../engine/colour/cielab.ts";
import { byteFromLinear } from "../engine/colour/srgb.ts";
import { hexOf } from "../engine/inspect/colour-groups.ts";
import { atPreviewSize, lookAt, ONE_JOB_BYTES } from "../jobs/look.ts";
import { printable } from "../language/printable.ts";
import { filmFiles } from "../output/films/setup-films.ts";
import { jobFingerprint } from "../output/fingerprint.ts";
import { picturePng } from "../output/png.ts";
import { Staging } from "../output/staging.ts";
import { ticketFacts } from "../output/ticket/facts.ts";
import { type TicketProof, ticketPage } from "../output/ticket/page.ts";
import type { Print } from "../render/print.ts";
import { proofDifference } from "../render/proof-meter.ts";
import { StageCache } from "../render/stage-cache.ts";
import { CAUTIONS } from "../rules/cautions.ts";
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
    const { project, recipe, artworkFile } = opened;
    const setupName = setupNamed(recipe, values.setup);
    const progress = startProgress(console);
    const staging = await Staging.open(dirname(out), { force: values.force === true });
    try {
      await staging.claim([basename(out)]);
      const onProgress = progress.part("ticket", 0, 1);
      const { print, findings } = await lookAt(opened, atPreviewSize(new StageCache(ONE_JOB_BYTES)), (done) =>
        onProgress(done * 0.8),
      );
      const proofs: TicketProof[] = [];
      for (const garment of recipe.setups.get(setupName)!.garments)
        proofs.push(await proofOf(print, garment, setupName));
      const jobName = basename(file).replace(/\.sep\.ya?ml$|\.ya?ml$/i, "");
      const page = ticketPage({
        facts: ticketFacts(print, setupName, findings),
        proofs,
        inkColours: new Map([...recipe.inks].map(([name, { colour }]) => [name, cssHex(colour.lab)])),
        films: filmFiles({ recipe, setupName, jobName, format: "pdf" }),
        cautions: CAUTIONS,
        date: typeof values.date === "string" ? values.date : new Date().toISOString().slice(0, 10),
        fingerprint: await jobFingerprint(project, artworkFile, files.within),
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

async function proofOf(print: Print, garment: string, setupName: string): Promise<TicketProof> {
  const rgb = print.proof(garment, setupName);
  const { recipe, artwork } = print;
  const { mean, p95 } = proofDifference(recipe, recipe.setups.get(setupName)!, garment, artwork, rgb);
  const { width, height } = print.picture;
  return { garment, png: await picturePng(rgb, width, height, print.artwork.ppi), mean, p95 };
}

/** Colour of an ink as a screen shows it. */
function cssHex(lab: { L: number; a: number; b: number }): string {
  const { r, g, b } = linearFromLab(lab);
  return hexOf([byteFromLinear(r), byteFromLinear(g), byteFromLinear(b)]);
}
