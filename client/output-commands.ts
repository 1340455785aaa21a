import { basename, dirname, join } from "node:path";
import {
  commands,
  type DocumentSymbol,
  type ExtensionContext,
  env,
  ProgressLocation,
  type TextDocument,
  Uri,
  window,
  workspace,
} from "vscode";
import type { LanguageClient } from "vscode-languageclient/node";
import type { Told } from "../server/cli/progress.ts";
import { sentence } from "../server/language/words.ts";
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
    commands.registerCommand("platewright.saveFilms", async (uri?: unknown) => {
      const job = await chooseJob(context, client, uri);
      if (!job) return;
      const format = await window.showQuickPick(
        [
          { label: "PDF", description: "a page a plate", extension: "pdf", args: ["--format", "pdf"] },
          {
            label: "PDF, contone",
            description: "for a device that screens by itself",
            extension: "pdf",
            args: ["--format", "pdf", "--contone"],
          },
          { label: "TIFF", description: "1 bit, Group 4", extension: "tif", args: ["--format", "tiff"] },
          { label: "PNG", description: "1 bit", extension: "png", args: ["--format", "png"] },
        ],
        { title: "Save films as", ignoreFocusOut: true },
      );
      const folder = format && (await askForFolder(job.file, "Save films"));
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
      const { extension } = format;
      const stem = basename(job.file).replace(/\.sep\.ya?ml$/i, "");
      const file = Uri.joinPath(folder, `${stem}-${job.setup}.${extension}`);
      const opens = extension === "pdf" ? { opens: file } : {};
      await write(program, args, `Films of setup ${job.setup}`, folder, opens);
    }),
    commands.registerCommand("platewright.saveTicket", async (uri?: unknown) => {
      const job = await chooseJob(context, client, uri);
      if (!job) return;
      const out = await window.showSaveDialog({
        title: "Save job ticket",
        defaultUri: Uri.file(`${job.file.replace(/\.sep\.ya?ml$/i, "")}-${job.setup}.html`),
        filters: { "Web page": ["html"] },
      });
      if (!out) return;
      const args = ["ticket", job.file, "--setup", job.setup, "--out", out.fsPath, "--force", ...job.within];
      await write(program, args, `Job ticket of setup ${job.setup}`, out, { opens: out });
    }),
  );
}

export async function askForFolder(recipe: string, title: string): Promise<Uri | undefined> {
  const chosen = await window.showOpenDialog({
    canSelectFiles: false,
    canSelectFolders: true,
    defaultUri: Uri.file(dirname(recipe)),
    title,
    openLabel: `${title} here`,
  });
  return chosen?.[0];
}

/** A recipe as it is on disk. */
export interface OnDisk {
  readonly document: TextDocument;
  readonly file: string;
  /** How far the program may read, as its arguments. */
  readonly within: readonly string[];
}

export async function chooseRecipeOnDisk(
  context: ExtensionContext,
  uri: unknown,
): Promise<OnDisk | undefined> {
  const chosen = await chooseRecipe(uri);
  if (!chosen) return undefined;
  const document = await workspace.openTextDocument(chosen);
  if (!workspace.isTrusted) {
    const manage = "Manage Trust";
    void window
      .showInformationMessage("Artwork is read once this workspace is trusted.", manage)
      .then((next) => next === manage && commands.executeCommand("workbench.trust.manage"));
    return undefined;
  }
  // What is written is the recipe that git will have.
  if (document.isDirty && !(await document.save())) return undefined;
  return { document, file: document.uri.fsPath, within: withinWorkspace(context, document.uri) };
}

/** The same with one of its setups. */
export async function chooseJob(
  context: ExtensionContext,
  client: () => Promise<LanguageClient>,
  uri: unknown,
): Promise<(OnDisk & { readonly setup: string }) | undefined> {
  const recipe = await chooseRecipeOnDisk(context, uri);
  if (!recipe) return undefined;
  const setup = await chooseOne(client, recipe, "setup", "setups", "write one under setups");
  return setup === undefined ? undefined : { ...recipe, setup };
}

/** One of the names in a section of the recipe: the only one, or the user's choice. */
export async function chooseOne(
  client: () => Promise<LanguageClient>,
  { document: { uri } }: OnDisk,
  noun: string,
  section: string,
  wayOut: string,
): Promise<string | undefined> {
  // By the server, which may just be starting.
  const symbols = await (await client()).sendRequest<DocumentSymbol[] | null>("textDocument/documentSymbol", {
    textDocument: { uri: uri.toString() },
  });
  const names = symbols?.find(({ name }) => name === section)?.children.map(({ name }) => name) ?? [];
  if (names.length === 0) void window.showErrorMessage(`${basename(uri.path)} has no ${noun}: ${wayOut}.`);
  return names.length < 2
    ? names[0]
    : window.showQuickPick(names, { title: sentence(noun), ignoreFocusOut: true });
}

/** What may be said of a run of the program besides its arguments. */
export interface Writing {
  /** What Open opens; without it the place can be revealed alone. */
  readonly opens?: Uri;
  /** Exit statuses that also mean that all was written. */
  readonly alsoDone?: readonly number[];
  /** The program's working folder. */
  readonly cwd?: string;
}

/** Runs the program with its progress shown; says in a line what it wrote, or why it could not. */
export async function write(
  program: string,
  args: readonly string[],
  title: string,
  place: Uri,
  { opens, alsoDone = [], cwd }: Writing = {},
): Promise<void> {
  const ended = await window.withProgress(
    { location: ProgressLocation.Notification, title, cancellable: true },
    (progress, token) => {
      const controller = new AbortController();
      token.onCancellationRequested(() => controller.abort());
      let shown = 0;
      const told = ({ done, label }: Told) => {
        progress.report({ message: label, increment: Math.max(0, done * 100 - shown) });
        shown = Math.max(shown, done * 100);
      };
      return runProgram(program, args, controller.signal, told, cwd).then((result) =>
        controller.signal.aborted ? undefined : result,
      );
    },
  );
  if (!ended) return;
  if (ended.status === null || ![0, ...alsoDone].includes(ended.status)) {
    void window.showErrorMessage(ended.err.trim().split("\n")[0] || `${title}: it could not be written.`);
    return;
  }
  await sayWritten(sentence(ended.out.trim().split("\n")[0] || title), place, opens);
}

/** What was written, with ways to it that every window has: a remote one has no file manager. */
export async function sayWritten(said: string, place: Uri, opens?: Uri): Promise<void> {
  void commands.executeCommand("setContext", "platewright.outputWritten", true);
  const open = "Open";
  const reveal = "Reveal";
  const chosen = await window.showInformationMessage(said, ...(opens ? [open] : []), reveal);
  if (chosen === open && opens) await commands.executeCommand("vscode.open", opens);
  if (chosen === reveal) await revealed(place);
}

/** In the explorer where the workspace holds it, else in the system's file manager, else by its folder's name. */
async function revealed(place: Uri): Promise<void> {
  if (workspace.getWorkspaceFolder(place)) {
    await commands.executeCommand("revealInExplorer", place);
    return;
  }
  const known = await commands.getCommands(true);
  if (env.remoteName === undefined && known.includes("revealFileInOS"))
    await commands.executeCommand("revealFileInOS", place);
  else void window.showInformationMessage(`It is in ${place.fsPath}.`);
}
