import { dirname, posix, relative, sep } from "node:path";
import {
  commands,
  type Disposable,
  type ExtensionContext,
  Uri,
  WorkspaceEdit,
  window,
  workspace,
} from "vscode";
import type { LanguageClient } from "vscode-languageclient/node";
import { type NamedFile, type PanelEditResult, WAYS_OUT, type WayOut } from "../server/wire/panel.ts";
import { PICTURES } from "./pictures.ts";
import { rangeOf } from "./ranges.ts";
import { letRead } from "./within.ts";

/** Goes the ways out that panel and quick fixes offer, for a recipe. */
export function registerWaysOut(
  context: ExtensionContext,
  client: () => Promise<LanguageClient>,
): Disposable {
  /** Where a file lies is the server's answer, not the page's. */
  const fileNamed = async (uri: string, of: NamedFile) => {
    const named = await (await client()).sendRequest<string | null>("platewright/fileNamed", { uri, of });
    return named === null ? undefined : Uri.parse(named);
  };
  const read = async (uri: string, of: NamedFile) => {
    const file = await fileNamed(uri, of);
    if (!file) return;
    const files = await letRead(context, file.fsPath);
    await (await client()).sendNotification("platewright/alsoRead", { files });
  };
  const addFolder = async (uri: string, of: NamedFile) => {
    const file = await fileNamed(uri, of);
    if (!file) return;
    const folder = Uri.file(dirname(file.fsPath));
    workspace.updateWorkspaceFolders(workspace.workspaceFolders?.length ?? 0, 0, { uri: folder });
  };
  const choose = async (uri: string, of: NamedFile) => {
    const recipe = Uri.parse(uri);
    const [file] =
      (await window.showOpenDialog({
        title: of === "shop" ? "Shop file" : "Artwork",
        openLabel: "Choose",
        defaultUri: Uri.file(dirname(recipe.fsPath)),
        filters: of === "shop" ? { "Shop file": ["yaml", "yml"] } : { Artwork: PICTURES },
      })) ?? [];
    if (!file) return;
    const document = await workspace.openTextDocument(recipe);
    const { version } = document;
    const path = relative(dirname(recipe.fsPath), file.fsPath).split(sep).join(posix.sep);
    const edit = { kind: "file", of, path };
    const result = await (await client()).sendRequest<PanelEditResult | null>("platewright/panelEdit", {
      uri,
      edit,
    });
    if (!result) return;
    if ("refused" in result) {
      void window.showWarningMessage(`Nothing was changed: ${result.refused}.`);
      return;
    }
    if (document.version !== version) return;
    const change = new WorkspaceEdit();
    for (const { range, newText } of result.edits) change.replace(recipe, rangeOf(range), newText);
    await workspace.applyEdit(change);
  };
  const going: Readonly<Record<WayOut, (uri: string) => unknown>> = {
    readShop: (uri) => read(uri, "shop"),
    addShopFolder: (uri) => addFolder(uri, "shop"),
    chooseShop: (uri) => choose(uri, "shop"),
    readArtwork: (uri) => read(uri, "artwork"),
    addArtworkFolder: (uri) => addFolder(uri, "artwork"),
    chooseArtwork: (uri) => choose(uri, "artwork"),
    trust: () => commands.executeCommand("workbench.trust.manage"),
    beginGit: () => commands.executeCommand("git.init"),
  };
  return commands.registerCommand("platewright.goWayOut", async (uri: unknown, way: unknown) => {
    const known = WAYS_OUT.find((one) => one === way);
    if (typeof uri !== "string" || !known) return;
    try {
      await going[known](uri);
    } catch (error) {
      void window.showErrorMessage((error as Error).message);
    }
  });
}
