import { dirname, join } from "node:path";
import {
  commands,
  type DocumentSymbol,
  type ExtensionContext,
  type TextDocument,
  Uri,
  window,
  workspace,
} from "vscode";
import type { LanguageClient } from "vscode-languageclient/node";
import { write } from "./output-commands.ts";
import { runProgram } from "./program.ts";
import { withinWorkspace } from "./within.ts";

/** What `calibrate --format json` says. */
interface CalibrationJson {
  readonly notes: readonly string[];
  readonly changes: readonly string[];
}

const SCANS = ["png", "jpg", "jpeg", "tif", "tiff", "webp"];

/** Commands on a shop file: films of its target sheet, and the figures that come back from the print. */
export function registerCalibrationCommands(
  context: ExtensionContext,
  client: () => Promise<LanguageClient>,
): void {
  const program = context.asAbsolutePath(join("dist", "platewright.js"));
  context.subscriptions.push(
    commands.registerCommand("platewright.saveTargetSheet", async (uri?: Uri) => {
      const shop = await chooseShop(uri);
      if (!shop) return;
      const inks = await chooseInks(await client(), shop);
      if (!inks) return;
      const [folder] =
        (await window.showOpenDialog({
          canSelectFiles: false,
          canSelectFolders: true,
          defaultUri: Uri.file(dirname(shop.uri.fsPath)),
          title: "Save target sheet",
          openLabel: "Save target sheet here",
        })) ?? [];
      if (!folder) return;
      const args = ["target", shop.uri.fsPath, "--out", folder.fsPath, ...inks];
      await write(program, [...args, ...withinWorkspace(context, shop.uri)], "Target sheet", folder);
    }),
    commands.registerCommand("platewright.calibrate", async (uri?: Uri) => {
      const shop = await chooseShop(uri);
      if (!shop) return;
      const readings = await window.showOpenDialog({
        canSelectMany: true,
        defaultUri: Uri.file(dirname(shop.uri.fsPath)),
        title: "Readings of a target sheet",
        openLabel: "Read these",
        filters: { "Readings and scans": ["txt", "cgats", "cxf", "xml", ...SCANS] },
      });
      if (!readings || readings.length === 0) return;
      // A scan is read by the sheet, which its inks make.
      const isScanned = readings.some(({ path }) =>
        SCANS.some((end) => path.toLowerCase().endsWith(`.${end}`)),
      );
      const inks = isScanned ? await chooseInks(await client(), shop) : [];
      if (!inks) return;
      const within = withinWorkspace(
        context,
        shop.uri,
        ...readings.map(({ fsPath }) => Uri.file(dirname(fsPath))),
      );
      const args = [
        "calibrate",
        shop.uri.fsPath,
        ...readings.map(({ fsPath }) => fsPath),
        ...inks,
        ...within,
      ];
      const shown = await runProgram(program, [...args, "--format", "json"], new AbortController().signal);
      if (shown.status !== 0) {
        void window.showErrorMessage(shown.err.trim().split("\n")[0] || "The readings cannot be used.");
        return;
      }
      // The change is seen before it is made.
      const { notes, changes }: CalibrationJson = JSON.parse(shown.out);
      const lines = [...notes, ...(changes.length > 0 ? changes : ["Nothing changes in the shop file."])];
      const content = `${lines.join("\n")}\n`;
      await window.showTextDocument(await workspace.openTextDocument({ content, language: "plaintext" }));
      if (changes.length === 0) return;
      const accept = "Write to Shop File";
      const answer = await window.showInformationMessage("These figures are not written yet.", accept);
      if (answer === accept) await write(program, [...args, "--write"], "Calibration", shop.uri);
    }),
  );
}

/** A shop file as it is on disk: the one named, the one in the editor, or one of the workspace. */
async function chooseShop(uri: Uri | undefined): Promise<TextDocument | undefined> {
  if (!workspace.isTrusted) {
    void window.showInformationMessage("Files are written once this workspace is trusted.");
    return undefined;
  }
  const active = window.activeTextEditor?.document;
  const here = active?.languageId === "separation-shop" ? active.uri : undefined;
  const chosen = uri ?? here ?? (await oneOfWorkspace());
  if (!chosen) return undefined;
  const document = await workspace.openTextDocument(chosen);
  return document.isDirty && !(await document.save()) ? undefined : document;
}

async function oneOfWorkspace(): Promise<Uri | undefined> {
  const found = await workspace.findFiles("**/{*.shop,shop}.{yaml,yml}", "**/node_modules/**", 100);
  if (found.length < 2) {
    if (found.length === 0)
      void window.showErrorMessage("There is no shop file (*.shop.yaml) in this workspace.");
    return found[0];
  }
  const items = found.map((uri) => ({ label: workspace.asRelativePath(uri), uri }));
  return (await window.showQuickPick(items, { title: "Shop file", ignoreFocusOut: true }))?.uri;
}

/** Inks of a target sheet, and which of them is its underbase, as options of the command line; undefined where the user turned away. */
async function chooseInks(client: LanguageClient, shop: TextDocument): Promise<string[] | undefined> {
  const inks = await window.showQuickPick(await inksOf(client, shop), {
    title: "Inks of the sheet: up to four, in print order",
    canPickMany: true,
    ignoreFocusOut: true,
  });
  if (!inks || inks.length === 0) return undefined;
  const none = "No underbase";
  const base =
    inks.length === 1
      ? none
      : await window.showQuickPick([none, ...inks], {
          title: "Underbase of the sheet: the others are printed on it too",
          ignoreFocusOut: true,
        });
  if (base === undefined) return undefined;
  return [...inks.flatMap((ink) => ["--ink", ink]), ...(base === none ? [] : ["--base", base])];
}

/** By the server, which may just be starting. */
async function inksOf(client: LanguageClient, { uri }: TextDocument): Promise<string[]> {
  const symbols = await client.sendRequest<DocumentSymbol[] | null>("textDocument/documentSymbol", {
    textDocument: { uri: uri.toString() },
  });
  return symbols?.find(({ name }) => name === "inks")?.children.map(({ name }) => name) ?? [];
}
