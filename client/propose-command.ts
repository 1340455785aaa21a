import { join } from "node:path";
import {
  commands,
  type Disposable,
  type ExtensionContext,
  InputBoxValidationSeverity,
  ProgressLocation,
  Uri,
  window,
  workspace,
} from "vscode";
import { PICTURES } from "./pictures.ts";
import { pixelsAcross, runProposal } from "./proposal-run.ts";
import { showText } from "./show-text.ts";
import { type WidthAnswer, widthAnswer } from "./width-answer.ts";
import { withinWorkspace } from "./within.ts";

/** Common garment; others are typed into the recipe. */
const GARMENTS = [
  { label: "Black", text: "black=#17171a", picked: true },
  { label: "White", text: "white=#f4f3ef" },
  { label: "Navy", text: "navy=#1d2440" },
  { label: "Red", text: "red=#a01c24" },
  { label: "Grey", text: "grey=#8f9196" },
];
const MOST_SHOPS = 20;
const SEVERITIES: Readonly<Record<WidthAnswer["level"], InputBoxValidationSeverity>> = {
  error: InputBoxValidationSeverity.Error,
  warning: InputBoxValidationSeverity.Warning,
  info: InputBoxValidationSeverity.Info,
};

/** A first recipe from a picture: asks for garments and shop, writes it beside the picture, opens it and its proof. */
export function registerProposeCommand(context: ExtensionContext): Disposable {
  return commands.registerCommand("platewright.proposeRecipe", async (picture?: unknown) => {
    const artwork = picture instanceof Uri ? picture : await askForArtwork();
    if (!artwork) return;
    if (!workspace.isTrusted) {
      void window.showInformationMessage("Artwork is read once this workspace is trusted.");
      return;
    }
    if (artwork.scheme !== "file") {
      void window.showErrorMessage("A recipe can be made from artwork on disk only.");
      return;
    }
    const program = context.asAbsolutePath(join("dist", "platewright.js"));
    const within = withinWorkspace(context, artwork);
    const look = new AbortController();
    // Looked at while the other questions are answered.
    const pixels = pixelsAcross(program, { artwork: artwork.fsPath, within }, look.signal).catch(
      () => undefined,
    );
    const garments = await window.showQuickPick(GARMENTS, {
      canPickMany: true,
      // A look at the picture must not take the question away.
      ignoreFocusOut: true,
      title: "New recipe from artwork: garments",
      placeHolder: "What it will be printed on",
    });
    const shop = garments && garments.length > 0 ? await askForShop() : undefined;
    const width = shop && (await askForWidth(pixels));
    look.abort();
    if (!garments || !shop || width === undefined) return;
    await window.withProgress(
      { location: ProgressLocation.Notification, title: "Choosing inks and plates…", cancellable: true },
      async (_, token) => {
        const stop = new AbortController();
        token.onCancellationRequested(() => stop.abort());
        try {
          const { recipe, notes } = await runProposal(
            program,
            {
              artwork: artwork.fsPath,
              garments: garments.map(({ text }) => text).join(","),
              shop: shop.file,
              width: width === "" ? undefined : width,
              within,
            },
            stop.signal,
          );
          const uri = Uri.file(recipe);
          await showText(uri);
          void commands.executeCommand("setContext", "platewright.recipeProposed", true);
          await commands.executeCommand("platewright.openProof", uri);
          for (const note of notes) void window.showWarningMessage(note);
        } catch (error) {
          if (!stop.signal.aborted) void window.showErrorMessage((error as Error).message);
        }
      },
    );
  });
}

async function askForArtwork(): Promise<Uri | undefined> {
  const chosen = await window.showOpenDialog({
    title: "New recipe from artwork",
    openLabel: "Use as artwork",
    filters: { Artwork: PICTURES },
  });
  return chosen?.[0];
}

/** Width of what prints; empty for as wide as press and pixels allow, undefined where the user turned away. */
async function askForWidth(pixels: ReturnType<typeof pixelsAcross>): Promise<string | undefined> {
  const answer = await window.showInputBox({
    ignoreFocusOut: true,
    title: "New recipe from artwork: width",
    prompt: "Printed width, without the page around the drawing; empty: as wide as press and pixels allow",
    placeHolder: "10 in",
    validateInput: async (text) => {
      const said = widthAnswer(text, await pixels);
      return said && { message: said.text, severity: SEVERITIES[said.level] };
    },
  });
  return answer?.trim();
}

/** The shop file to go by; undefined where the user turned away. */
async function askForShop(): Promise<{ readonly file: string | undefined } | undefined> {
  const files = await workspace.findFiles(
    "**/{*.shop.yaml,*.shop.yml,shop.yaml,shop.yml}",
    "**/node_modules/**",
    MOST_SHOPS,
  );
  if (files.length === 0) return { file: undefined };
  const shops = files
    .map((uri) => ({ label: workspace.asRelativePath(uri), file: uri.fsPath as string | undefined }))
    .sort((a, b) => (a.label < b.label ? -1 : 1));
  return window.showQuickPick(
    [...shops, { label: "No shop file: inks are still to be mixed", file: undefined }],
    {
      ignoreFocusOut: true,
      title: "New recipe from artwork: shop",
      placeHolder: "Press, meshes and inks to go by",
    },
  );
}
