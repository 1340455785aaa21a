import { dirname } from "node:path";
import { commands, type Disposable, type ExtensionContext, Uri, window, workspace } from "vscode";
import { copySampleJob } from "./sample-job.ts";
import { showText } from "./show-text.ts";

/** A whole job to look at and to change: asks where to, copies it there, opens its recipe and its proof. */
export function registerSampleCommand(context: ExtensionContext): Disposable {
  return commands.registerCommand("platewright.copySample", async (to?: unknown) => {
    const parent = to instanceof Uri ? to : await askForFolder();
    if (!parent) return;
    let recipe: Uri;
    try {
      recipe = Uri.file(await copySampleJob(context.asAbsolutePath("samples"), parent.fsPath));
    } catch (error) {
      void window.showErrorMessage(
        `The sample job cannot be copied to ${parent.fsPath}: ${(error as Error).message}. Choose another folder.`,
      );
      return;
    }
    await showText(recipe);
    void commands.executeCommand("setContext", "platewright.sampleCopied", true);
    await commands.executeCommand("platewright.openProof", recipe);
    if (workspace.getWorkspaceFolder(recipe)) return;
    const open = "Open Folder";
    const next = await window.showInformationMessage(
      "The sample job lies outside of what is open here.",
      open,
    );
    if (next === open)
      await commands.executeCommand("vscode.openFolder", Uri.file(dirname(dirname(recipe.fsPath))));
  });
}

async function askForFolder(): Promise<Uri | undefined> {
  const here = workspace.workspaceFolders?.[0]?.uri;
  const chosen = await window.showOpenDialog({
    title: "Copy sample job",
    openLabel: "Copy here",
    canSelectFiles: false,
    canSelectFolders: true,
    ...(here ? { defaultUri: here } : {}),
  });
  return chosen?.[0];
}
