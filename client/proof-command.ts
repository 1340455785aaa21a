import { execFile } from "node:child_process";
import { createHash } from "node:crypto";
import { join } from "node:path";
import {
  commands,
  type Disposable,
  type DocumentSymbol,
  type ExtensionContext,
  ProgressLocation,
  Uri,
  ViewColumn,
  window,
  workspace,
} from "vscode";

/** "Open proof": the garment as the press is expected to give it, as a picture beside the recipe. */
export function registerProofCommand(context: ExtensionContext, program: string): Disposable {
  return commands.registerCommand("platewright.openProof", async (recipeUri?: string, garment?: string) => {
    const recipe = recipeUri ? Uri.parse(recipeUri) : window.activeTextEditor?.document.uri;
    if (recipe?.scheme !== "file") {
      void window.showInformationMessage(
        "Open a separation recipe (*.sep.yaml) that is saved to disk first.",
      );
      return;
    }
    if (!workspace.isTrusted) {
      void window.showInformationMessage("A proof reads the artwork: trust this workspace first.");
      return;
    }
    const chosen = garment ?? (await chooseGarment(recipe));
    if (!chosen) return;
    // The proof is made of what is on disk.
    await workspace.textDocuments.find(({ uri }) => uri.toString() === recipe.toString())?.save();
    const folder = context.storageUri ?? context.globalStorageUri;
    // One file a recipe and garment, so that an open picture is replaced by its successor.
    const key = createHash("sha256").update(`${recipe.fsPath}\n${chosen}`).digest("hex").slice(0, 16);
    const file = Uri.joinPath(folder, `${key}.png`);
    const made = await window.withProgress(
      { location: ProgressLocation.Notification, title: `Proof on ${chosen}`, cancellable: true },
      (_progress, token) =>
        new Promise<string | undefined>((resolve) => {
          const args = [
            program,
            "proof",
            recipe.fsPath,
            "--garment",
            chosen,
            "--out",
            file.fsPath,
            "--ppi",
            "100",
            "--force",
          ];
          const env = { ...process.env, ELECTRON_RUN_AS_NODE: "1" };
          const child = execFile(
            process.execPath,
            args,
            { env, cwd: join(recipe.fsPath, "..") },
            (error, _out, err) => {
              resolve(error && !token.isCancellationRequested ? err.trim() || error.message : undefined);
            },
          );
          token.onCancellationRequested(() => child.kill());
        }),
    );
    if (made !== undefined) void window.showErrorMessage(made);
    else await commands.executeCommand("vscode.open", file, { viewColumn: ViewColumn.Beside, preview: true });
  });
}

/** The recipe's garments, from its outline. */
async function chooseGarment(recipe: Uri): Promise<string | undefined> {
  const outline = await commands.executeCommand<DocumentSymbol[]>(
    "vscode.executeDocumentSymbolProvider",
    recipe,
  );
  const garments = outline?.find(({ name }) => name === "garments")?.children.map(({ name }) => name) ?? [];
  if (garments.length < 2) return garments[0];
  return window.showQuickPick(garments, { placeHolder: "The garment to show the proof on" });
}
