import { dirname, join } from "node:path";
import { commands, type ExtensionContext, Uri, window, workspace } from "vscode";
import { write } from "./output-commands.ts";
import { withinWorkspace } from "./within.ts";

/** The command that makes a whole order: tickets, films, lists and the sheet to be signed. */
export function registerOrderCommand(context: ExtensionContext): { dispose(): unknown } {
  const program = context.asAbsolutePath(join("dist", "platewright.js"));
  return commands.registerCommand("platewright.saveOrder", async (named?: unknown) => {
    // From a code lens a text, from a menu the file's URI, from the palette nothing.
    const uri =
      typeof named === "string" ? Uri.parse(named) : named instanceof Uri ? named : orderBeingWritten();
    if (!uri) {
      void window.showInformationMessage("An order is made of an order file (*.order.yaml); open one first.");
      return;
    }
    const document = await workspace.openTextDocument(uri);
    if (!workspace.isTrusted) {
      void window.showInformationMessage("Artwork is read once this workspace is trusted.");
      return;
    }
    // What is made is the order that git will have.
    if (document.isDirty && !(await document.save())) return;
    const chosen = await window.showOpenDialog({
      canSelectFiles: false,
      canSelectFolders: true,
      defaultUri: Uri.file(dirname(uri.fsPath)),
      title: "Save order",
      openLabel: "Save order here",
    });
    const folder = chosen?.[0];
    if (!folder) return;
    const args = ["order", uri.fsPath, "--out", folder.fsPath, ...withinWorkspace(context, uri)];
    const stem = uri.path
      .split("/")
      .at(-1)!
      .replace(/\.order\.ya?ml$|\.ya?ml$/i, "");
    await write(program, args, "Order", folder, { opens: Uri.joinPath(folder, `${stem}-approval.pdf`) });
  });
}

function orderBeingWritten(): Uri | undefined {
  const document = window.activeTextEditor?.document;
  return document?.languageId === "separation-order" ? document.uri : undefined;
}
