import { commands, Uri, window, workspace } from "vscode";

const MOST_RECIPES = 200;

/**
 * The recipe that a command is meant for: the one it names, else the one that is being written, else one of the
 * workspace's. Undefined where the user turned away, or there is none and that was said.
 */
export async function chooseRecipe(named?: unknown): Promise<Uri | undefined> {
  // From a code lens a text, from a menu the file's URI, from the palette nothing.
  if (typeof named === "string") return Uri.parse(named);
  if (named instanceof Uri) return named;
  const editors = [window.activeTextEditor, ...window.visibleTextEditors];
  const written = editors.find((editor) => editor?.document.languageId === "separation-recipe");
  if (written) return written.document.uri;
  const files = await workspace.findFiles("**/*.sep.{yaml,yml}", "**/node_modules/**", MOST_RECIPES);
  if (files.length < 2) return files[0] ?? sayThereIsNone();
  const recipes = files
    .map((uri) => ({ label: workspace.asRelativePath(uri), uri }))
    .sort((a, b) => (a.label < b.label ? -1 : 1));
  const chosen = await window.showQuickPick(recipes, { title: "Recipe" });
  return chosen?.uri;
}

async function sayThereIsNone(): Promise<undefined> {
  const fromArtwork = "New Recipe from Artwork…";
  const sample = "Copy Sample Job…";
  const next = await window.showInformationMessage(
    "There is no separation recipe (*.sep.yaml) here yet.",
    fromArtwork,
    sample,
  );
  // Not waited for: what was asked for is over.
  if (next === fromArtwork) void commands.executeCommand("platewright.proposeRecipe");
  if (next === sample) void commands.executeCommand("platewright.copySample");
  return undefined;
}
