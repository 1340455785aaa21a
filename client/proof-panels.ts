import {
  commands,
  Disposable,
  type ExtensionContext,
  Uri,
  ViewColumn,
  type WebviewPanel,
  window,
  workspace,
} from "vscode";
import type { LanguageClient } from "vscode-languageclient/node";
import { chooseRecipe } from "./choose-recipe.ts";
import { PANEL_TYPE, ProofWebview } from "./proof-webview.ts";

/** What others know of the panels. */
export interface ProofPanels extends Disposable {
  filesChanged(): void;
  /** The recipe of the panel that has the focus. */
  focused(): Uri | undefined;
}

/** One that follows the text, and those that were told to keep their recipe: opened by command, brought back after a restart, told of what changes. */
export function registerProofPanels(
  context: ExtensionContext,
  client: () => Promise<LanguageClient>,
): ProofPanels {
  const panels = new Map<string, ProofWebview>();

  const serve = (panel: WebviewPanel, recipe: Uri, locked = false): ProofWebview => {
    const key = recipe.toString();
    const served = new ProofWebview(context, panel, recipe, locked, client, {
      gone: () => {
        if (panels.get(key) === served) panels.delete(key);
      },
      focused: () => tellLock(),
    });
    panels.set(key, served);
    return served;
  };

  /** The panel that follows the text takes up another recipe. */
  const follow = (recipe: Uri): ProofWebview | undefined => {
    const free = [...panels.values()].find(({ locked }) => !locked);
    if (!free) return undefined;
    free.dispose();
    panels.delete(free.recipe.toString());
    return serve(free.panel, recipe);
  };

  const lock = (locked: boolean) => {
    active()?.setLocked(locked);
    tellLock();
  };
  const tellLock = () =>
    void commands.executeCommand("setContext", "platewright.proofLocked", active()?.locked === true);

  const open = async (recipeUri?: unknown, garment?: unknown): Promise<void> => {
    const recipe = await chooseRecipe(recipeUri);
    if (!recipe) return;
    if (!/\.ya?ml$/i.test(recipe.path)) {
      void window.showInformationMessage("A proof is made of a separation recipe (*.sep.yaml).");
      return;
    }
    const known = panels.get(recipe.toString()) ?? follow(recipe);
    if (known) known.panel.reveal(undefined, true);
    const panel =
      known ??
      serve(
        window.createWebviewPanel(
          PANEL_TYPE,
          "Proof",
          { viewColumn: ViewColumn.Beside, preserveFocus: true },
          { enableScripts: true, enableFindWidget: false },
        ),
        recipe,
      );
    if (typeof garment === "string") panel.session.show(garment);
    panel.tellPlace();
  };

  /** Of the panel that has the focus, else of the recipe that is meant, whose proof is opened for it. */
  const save = async (what: "proof" | "sheet", recipeUri?: unknown): Promise<void> => {
    const recipe = active()?.recipe ?? (await chooseRecipe(recipeUri));
    if (!recipe) return;
    if (!panels.has(recipe.toString())) await open(recipe);
    panels.get(recipe.toString())?.session.save(what);
  };

  const active = () => [...panels.values()].find(({ panel }) => panel.active);

  const registered = Disposable.from(
    commands.registerCommand("platewright.openProof", open),
    commands.registerCommand("platewright.saveProof", (uri) => save("proof", uri)),
    commands.registerCommand("platewright.savePlateSheet", (uri) => save("sheet", uri)),
    commands.registerCommand("platewright.lockProof", () => lock(true)),
    commands.registerCommand("platewright.unlockProof", () => lock(false)),
    window.onDidChangeActiveTextEditor((editor) => {
      const document = editor?.document;
      if (document?.languageId !== "separation-recipe" || document.uri.scheme === "git") return;
      if (!panels.has(document.uri.toString())) follow(document.uri);
    }),
    commands.registerCommand("platewright.showRecipe", async () => {
      const recipe = active()?.recipe;
      if (recipe) await window.showTextDocument(recipe, { viewColumn: ViewColumn.One });
    }),
    window.registerWebviewPanelSerializer(PANEL_TYPE, {
      async deserializeWebviewPanel(
        panel,
        state: { readonly uri?: unknown; readonly locked?: unknown } | undefined,
      ) {
        const uri = state?.uri;
        if (typeof uri !== "string" || panels.has(uri)) panel.dispose();
        else serve(panel, Uri.parse(uri), state?.locked === true);
      },
    }),
    workspace.onDidSaveTextDocument(({ uri }) => panels.get(uri.toString())?.session.filesChanged()),
    workspace.onDidRenameFiles(({ files }) => {
      // A panel belongs to its recipe's place; that place is gone.
      for (const { oldUri } of files) panels.get(oldUri.toString())?.panel.dispose();
    }),
  );
  return {
    focused: () => active()?.recipe,
    filesChanged() {
      for (const { session } of panels.values()) session.filesChanged();
    },
    dispose() {
      registered.dispose();
      for (const panel of panels.values()) panel.dispose();
    },
  };
}
