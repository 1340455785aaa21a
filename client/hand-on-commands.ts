import { basename, dirname, join } from "node:path";
import { commands, Disposable, type ExtensionContext, Uri, window } from "vscode";
import type { LanguageClient } from "vscode-languageclient/node";
import { askForFolder, chooseJob, chooseOne, chooseRecipeOnDisk, write } from "./output-commands.ts";

/** Commands that write files for others to go on with: plates and inks as pictures, a PDF of inks, a page for review. */
export function registerHandOnCommands(
  context: ExtensionContext,
  client: () => Promise<LanguageClient>,
): Disposable {
  const program = context.asAbsolutePath(join("dist", "platewright.js"));
  return Disposable.from(
    commands.registerCommand("platewright.savePlates", async (uri?: unknown) => {
      const job = await chooseRecipeOnDisk(context, uri);
      const folder = job && (await askForFolder(job.file, "Save plates"));
      if (!job || !folder) return;
      const args = ["plates", job.file, "--out", folder.fsPath, ...job.within];
      await write(program, args, "Plates", folder);
    }),
    commands.registerCommand("platewright.saveInksTiff", async (uri?: unknown) => {
      const job = await chooseJob(context, client, uri);
      const folder = job && (await askForFolder(job.file, "Save TIFF of inks"));
      if (!job || !folder) return;
      const args = ["films", job.file, "--setup", job.setup, "--out", folder.fsPath, ...job.within];
      await write(
        program,
        [...args, "--format", "tiff", "--contone", "--together"],
        `TIFF of the inks of setup ${job.setup}`,
        folder,
      );
    }),
    commands.registerCommand("platewright.saveCompositePdf", async (uri?: unknown) => {
      const job = await chooseRecipeOnDisk(context, uri);
      const garment =
        job && (await chooseOne(client, job, "garment", "garments", "write one under garments"));
      const out = garment && (await askForFile(job.file, `-${garment}.pdf`, { PDF: ["pdf"] }));
      if (!job || !out) return;
      const args = ["proof", job.file, "--garment", garment, "--out", out.fsPath, "--force", ...job.within];
      await write(program, args, `Composite PDF on ${garment}`, out, { opens: out });
    }),
    commands.registerCommand("platewright.saveReviewPage", async (uri?: unknown) => {
      const job = await chooseRecipeOnDisk(context, uri);
      const out = job && (await askForFile(job.file, "-review.html", { "Web page": ["html"] }));
      if (!job || !out) return;
      const name = basename(job.file);
      const args = ["review", `HEAD:./${name}`, name, "--html", out.fsPath, "--force", ...job.within];
      // What has changed, and what has new errors, is told by the page.
      await write(program, args, "Page for review", out, {
        opens: out,
        alsoDone: [1, 3],
        cwd: dirname(job.file),
      });
    }),
  );
}

function askForFile(
  recipe: string,
  ending: string,
  filters: Record<string, string[]>,
): Thenable<Uri | undefined> {
  const defaultUri = Uri.file(`${recipe.replace(/\.sep\.ya?ml$/i, "")}${ending}`);
  return window.showSaveDialog({ defaultUri, filters });
}
