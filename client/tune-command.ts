import { join } from "node:path";
import {
  commands,
  type ExtensionContext,
  ProgressLocation,
  Range,
  type TextDocument,
  WorkspaceEdit,
  window,
  workspace,
} from "vscode";
import type { Told } from "../server/cli/progress.ts";
import { chooseRecipeOnDisk } from "./output-commands.ts";
import { type ProgramResult, runProgram } from "./program.ts";
import { tunedWords } from "./tuned-words.ts";

/** The command that moves a recipe's own numbers, or one plate's: the change is shown, and made when it is accepted, as one edit. */
export function registerTuneCommand(context: ExtensionContext): { dispose(): unknown } {
  const program = context.asAbsolutePath(join("dist", "platewright.js"));
  return commands.registerCommand("platewright.tune", async (named?: unknown, plate?: unknown) => {
    const recipe = await chooseRecipeOnDisk(context, named);
    if (!recipe) return;
    const { document, file, within } = recipe;
    const version = document.version;
    const plates = typeof plate === "string" ? [`--plates=${plate}`] : [];
    const ended = await withProgress(program, ["tune", file, "--format", "json", ...plates, ...within]);
    if (!ended) return;
    const tuned = ended.status === 0 ? tunedWords(ended.out) : undefined;
    if (!tuned) {
      void window.showErrorMessage(ended.err.trim().split("\n")[0] || "The recipe cannot be tuned.");
      return;
    }
    await window.showTextDocument(
      await workspace.openTextDocument({ content: tuned.words, language: "plaintext" }),
      { preview: true },
    );
    if (tuned.text === undefined) return;
    const accept = "Change Recipe";
    if ((await window.showInformationMessage("These changes are not made yet.", accept)) !== accept) return;
    if (document.version === version) await replace(document, tuned.text);
    else void window.showInformationMessage("The recipe was edited meanwhile; tune it again.");
  });
}

async function withProgress(program: string, args: readonly string[]): Promise<ProgramResult | undefined> {
  return window.withProgress(
    { location: ProgressLocation.Notification, title: "Tuning", cancellable: true },
    async (progress, token) => {
      const controller = new AbortController();
      token.onCancellationRequested(() => controller.abort());
      let shown = 0;
      const told = ({ done }: Told) => {
        progress.report({ increment: Math.max(0, done * 100 - shown) });
        shown = Math.max(shown, done * 100);
      };
      const ended = await runProgram(program, args, controller.signal, told);
      return controller.signal.aborted ? undefined : ended;
    },
  );
}

async function replace(document: TextDocument, text: string): Promise<void> {
  const edit = new WorkspaceEdit();
  const all = new Range(document.positionAt(0), document.positionAt(document.getText().length));
  edit.replace(document.uri, all, text);
  await workspace.applyEdit(edit);
  await window.showTextDocument(document);
}
