import { randomBytes } from "node:crypto";
import { rename, rm, writeFile } from "node:fs/promises";
import { basename, dirname, join } from "node:path";
import {
  CancellationTokenSource,
  commands,
  type Disposable,
  type ExtensionContext,
  Position,
  ProgressLocation,
  Range,
  Selection,
  TabInputText,
  type TextDocument,
  TextEditorRevealType,
  Uri,
  ViewColumn,
  type WebviewPanel,
  WorkspaceEdit,
  window,
  workspace,
} from "vscode";
import type { LanguageClient } from "vscode-languageclient/node";
import { fromPage } from "./from-page.ts";
import { sayWritten } from "./output-commands.ts";
import type { Output } from "./panel/protocol.ts";
import { panelHtml } from "./panel-html.ts";
import { type PanelEditor, PanelSession } from "./panel-session.ts";
import { rangeOf } from "./ranges.ts";

const OUTPUT_COMMANDS: Readonly<Record<Output, string>> = {
  films: "platewright.saveFilms",
  ticket: "platewright.saveTicket",
  plates: "platewright.savePlates",
  inksTiff: "platewright.saveInksTiff",
  compositePdf: "platewright.saveCompositePdf",
  reviewPage: "platewright.saveReviewPage",
};

/** View type under which VS Code brings panels back. */
export const PANEL_TYPE = "platewright.proof";

/** One proof panel in the editor: its window, and a session that serves it. */
export class ProofWebview implements Disposable {
  readonly recipe: Uri;
  /** It keeps its recipe whatever text is written. */
  locked: boolean;
  readonly panel: WebviewPanel;
  readonly session: PanelSession;
  readonly #client: () => Promise<LanguageClient>;
  readonly #disposables: Disposable[] = [];

  constructor(
    context: ExtensionContext,
    panel: WebviewPanel,
    recipe: Uri,
    locked: boolean,
    client: () => Promise<LanguageClient>,
    tell: { gone(): void; focused(): void },
  ) {
    this.recipe = recipe;
    this.locked = locked;
    this.panel = panel;
    this.#client = client;
    this.session = new PanelSession(this.#editor());
    const dist = Uri.joinPath(context.extensionUri, "dist", "panel");
    const { webview } = panel;
    webview.options = { enableScripts: true, localResourceRoots: [dist] };
    panel.title = `Proof ${basename(recipe.path).replace(/\.sep\.ya?ml$/i, "")}`;
    const file = (name: string) => webview.asWebviewUri(Uri.joinPath(dist, name)).toString();
    this.#disposables.push(
      webview.onDidReceiveMessage((sent: unknown) => {
        const message = fromPage(sent);
        if (!message) return;
        if (message.kind === "ready") {
          this.#tellRecipe();
          setImmediate(() => this.tellPlace());
        }
        void this.session
          .received(message)
          .catch((error: Error) => void window.showErrorMessage(error.message));
      }),
      panel.onDidChangeViewState(() => {
        this.session.setVisible(panel.visible);
        tell.focused();
      }),
      workspace.onDidChangeTextDocument(({ document, contentChanges }) => {
        // After the language client, which hears of the change in this same round, has told the server.
        if (contentChanges.length > 0 && this.#isRecipe(document))
          setImmediate(() => this.session.textChanged());
      }),
      window.onDidChangeTextEditorSelection(({ textEditor, selections: [selection] }) => {
        if (selection && this.#isRecipe(textEditor.document)) void this.session.cursorMoved(selection.active);
      }),
      panel.onDidDispose(() => {
        this.dispose();
        tell.gone();
      }),
    );
    webview.html = panelHtml(
      {
        script: file("panel.js"),
        style: file("panel.css"),
        icons: file("codicon.css"),
        source: webview.cspSource,
      },
      randomBytes(16).toString("base64url"),
    );
    this.session.setVisible(panel.visible);
    this.session.start();
  }

  setLocked(locked: boolean): void {
    this.locked = locked;
    this.#tellRecipe();
  }

  /** What the editor needs to bring the panel back after a restart. */
  #tellRecipe(): void {
    void this.panel.webview.postMessage({ kind: "recipe", uri: this.recipe.toString(), locked: this.locked });
  }

  /** Where the cursor stands in the recipe's text, if that can be seen. */
  tellPlace(): void {
    const editor = window.visibleTextEditors.find(({ document }) => this.#isRecipe(document));
    if (editor) void this.session.cursorMoved(editor.selection.active);
  }

  dispose(): void {
    this.session.dispose();
    for (const disposable of this.#disposables.splice(0)) disposable.dispose();
  }

  #isRecipe(document: TextDocument): boolean {
    return document.uri.toString() === this.recipe.toString();
  }

  #document(): TextDocument | undefined {
    return workspace.textDocuments.find((document) => this.#isRecipe(document));
  }

  #editor(): PanelEditor {
    const { recipe } = this;
    return {
      uri: recipe.toString(),
      post: (message) => {
        void this.panel.webview.postMessage(message);
        if (message.kind === "preview" && message.result.picture)
          void commands.executeCommand("setContext", "platewright.proofSeen", true);
      },
      request: async (method, params, signal) => {
        const client = await this.#client();
        const token = new CancellationTokenSource();
        const cancel = () => token.cancel();
        signal.addEventListener("abort", cancel, { once: true });
        try {
          return await client.sendRequest(method, params, token.token);
        } finally {
          signal.removeEventListener("abort", cancel);
          token.dispose();
        }
      },
      version: () => this.#document()?.version ?? 0,
      apply: async ({ edits }, version) => {
        const document = this.#document() ?? (await workspace.openTextDocument(recipe));
        if (version !== 0 && document.version !== version) return false;
        const change = new WorkspaceEdit();
        for (const { range, newText } of edits) change.replace(recipe, rangeOf(range), newText);
        return workspace.applyEdit(change);
      },
      reveal: (range) => void this.#reveal(recipe, rangeOf(range)),
      revealShop: (shop, line) => {
        const at = new Position(line - 1, 0);
        void this.#reveal(Uri.parse(shop), new Range(at, at));
      },
      output: (what) => void commands.executeCommand(OUTPUT_COMMANDS[what], recipe),
      go: (way) => void commands.executeCommand("platewright.goWayOut", recipe.toString(), way),
      say: (message) => void window.showWarningMessage(message),
      save: (name, bytes) => save(Uri.joinPath(recipe, "..", name), bytes),
    };
  }

  /** In the column where the file is open already, else beside the panel. The panel keeps the keyboard. */
  async #reveal(file: Uri, range: Range): Promise<void> {
    const open = window.tabGroups.all.find(({ tabs }) =>
      tabs.some(({ input }) => input instanceof TabInputText && input.uri.toString() === file.toString()),
    );
    const beside = this.panel.viewColumn === ViewColumn.One ? ViewColumn.Beside : ViewColumn.One;
    const editor = await window.showTextDocument(file, {
      viewColumn: open?.viewColumn ?? beside,
      preserveFocus: true,
      preview: false,
    });
    editor.selection = new Selection(range.start, range.start);
    editor.revealRange(range, TextEditorRevealType.InCenterIfOutsideViewport);
  }
}

/** Asks for the place (the dialog asks before anything is overwritten), makes the bytes, and writes in one step. */
async function save(suggested: Uri, bytes: (signal: AbortSignal) => Promise<Uint8Array>): Promise<void> {
  const file = await window.showSaveDialog({ defaultUri: suggested, filters: { PNG: ["png"] } });
  if (!file) return;
  const written = await window.withProgress(
    { location: ProgressLocation.Notification, title: `Saving ${basename(file.path)}`, cancellable: true },
    async (_progress, token): Promise<boolean> => {
      const controller = new AbortController();
      token.onCancellationRequested(() => controller.abort());
      try {
        const data = await bytes(controller.signal);
        if (token.isCancellationRequested) return false;
        if (file.scheme !== "file") await workspace.fs.writeFile(file, data);
        else await writeInOneStep(file.fsPath, data);
        return true;
      } catch (error) {
        if (!token.isCancellationRequested)
          void window.showErrorMessage(`${basename(file.path)} was not saved: ${(error as Error).message}`);
        return false;
      }
    },
  );
  if (written) await sayWritten(`${basename(file.path)} is saved.`, file, file);
}

/** Written beside its place, under a name that nobody foresees, and renamed: no half file ever bears the name. */
async function writeInOneStep(file: string, data: Uint8Array): Promise<void> {
  const part = join(dirname(file), `.${basename(file)}.${randomBytes(8).toString("hex")}.part`);
  try {
    await writeFile(part, data, { flag: "wx" });
    await rename(part, file);
  } catch (error) {
    await rm(part, { force: true });
    throw error;
  }
}
