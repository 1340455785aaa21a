import { basename, dirname, join } from "node:path";
import {
  commands,
  type DocumentSymbol,
  type ExtensionContext,
  ProgressLocation,
  type TextDocument,
  Uri,
  window,
  workspace,
} from "vscode";
import type { LanguageClient } from "vscode-languageclient/node";
import { chooseRecipe } from "./choose-recipe.ts";
import { runProgram } from "./program.ts";
import { withinWorkspace } from "./within.ts";

/** Commands that write files for the press: films and the job ticket of a setup. */
export function registerOutputCommands(
  context: ExtensionContext,
  client: () => Promise<LanguageClient>,
): void {
  const program = context.asAbsolutePath(join("dist", "platewright.js"));
  context.subscriptions.push(
    commands.registerCommand("platewright.saveFilms", async (uri?: Uri) => {
      const job = await chooseJob(context, client, uri);
      if (!job) return;
      const format = await window.showQuickPick(
        [
          { label: "PDF", description: "a page a plate", args: ["--format", "pdf"] },
          {
            label: "PDF, contone",
            description: "for a device that screens by itself",
            args: ["--format", "pdf", "--contone"],
          },
          { label: "TIFF", description: "1 bit, Group 4", args: ["--format", "tiff"] },
          { label: "PNG", description: "1 bit", args: ["--format", "png"] },
        ],
        { title: "Save films as", ignoreFocusOut: true },
      );
      const [folder] =
        (format &&
          (await window.showOpenDialog({
            canSelectFiles: false,
            canSelectFolders: true,
            defaultUri: Uri.file(dirname(job.file)),
            title: "Save films",
            openLabel: "Save films here",
          }))) ??
        [];
      if (!format || !folder) return;
      const args = [
        "films",
        job.file,
        "--setup",
        job.setup,
        "--out",
        folder.fsPath,
        ...format.args,
        ...job.within,
      ];
      await write(program, args, `Films of setup ${job.setup}`, folder);
    }),
    commands.registerCommand("platewright.saveTicket", async (uri?: Uri) => {
      const job = await chooseJob(context, client, uri);
      if (!job) return;
      const out = await window.showSaveDialog({
        title: "Save job ticket",
        defaultUri: Uri.file(`${job.file.replace(/\.sep\.ya?ml$/i, "")}-${job.setup}.html`),
        filters: { "Web page": ["html"] },
      });
      if (!out) return;
      const args = ["ticket", job.file, "--setup", job.setup, "--out", out.fsPath, "--force", ...job.within];
      await write(program, args, `Job ticket of setup ${job.setup}`, out);
    }),
  );
}

/** The recipe, as it is on disk, and one of its setups. */
async function chooseJob(
  context: ExtensionContext,
  client: () => Promise<LanguageClient>,
  uri: Uri | undefined,
): Promise<{ file: string; setup: string; within: readonly string[] } | undefined> {
  const chosen = await chooseRecipe(uri);
  if (!chosen) return undefined;
  const document = await workspace.openTextDocument(chosen);
  if (!workspace.isTrusted) {
    void window.showInformationMessage("Artwork is read once this workspace is trusted.");
    return undefined;
  }
  // What is written is the recipe that git will have.
  if (document.isDirty && !(await document.save())) return undefined;
  const setups = await setupsOf(await client(), document);
  if (setups.length === 0) {
    void window.showErrorMessage(
      `${basename(document.uri.path)} has no setup to print: write one under setups.`,
    );
    return undefined;
  }
  const setup =
    setups.length === 1
      ? setups[0]
      : await window.showQuickPick(setups, { title: "Setup", ignoreFocusOut: true });
  return setup === undefined
    ? undefined
    : { file: document.uri.fsPath, setup, within: withinWorkspace(context, document.uri) };
}

/** By the server, which may just be starting. */
async function setupsOf(client: LanguageClient, { uri }: TextDocument): Promise<string[]> {
  const symbols = await client.sendRequest<DocumentSymbol[] | null>("textDocument/documentSymbol", {
    textDocument: { uri: uri.toString() },
  });
  return symbols?.find(({ name }) => name === "setups")?.children.map(({ name }) => name) ?? [];
}

/** Runs the program with its progress shown; says in a line what it wrote, or why it could not. */
export async function write(
  program: string,
  args: readonly string[],
  title: string,
  place: Uri,
): Promise<void> {
  const ended = await window.withProgress(
    { location: ProgressLocation.Notification, title, cancellable: true },
    (_, token) => {
      const controller = new AbortController();
      token.onCancellationRequested(() => controller.abort());
      return runProgram(program, args, controller.signal).then((result) =>
        controller.signal.aborted ? undefined : result,
      );
    },
  );
  if (!ended) return;
  if (ended.status !== 0) {
    void window.showErrorMessage(ended.err.trim().split("\n")[0] || `${title}: it could not be written.`);
    return;
  }
  const reveal = "Reveal in Folder";
  const chosen = await window.showInformationMessage(ended.out.trim().split("\n")[0] ?? title, reveal);
  if (chosen === reveal) await commands.executeCommand("revealFileInOS", place);
}
