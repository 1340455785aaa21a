import { type Uri, workspace } from "vscode";

/**
 * How far the program may read for a recipe of the workspace, as its arguments: as far as the language server does. A
 * recipe that was opened from elsewhere is the user's own choice.
 */
export function withinWorkspace(recipe: Uri, ...more: readonly Uri[]): string[] {
  const outside = workspace.getConfiguration("platewright").get("readOutside") === true;
  if (outside || !workspace.getWorkspaceFolder(recipe)) return [];
  const folders = (workspace.workspaceFolders ?? []).map(({ uri }) => uri);
  return [...folders, ...more].flatMap(({ fsPath }) => ["--within", fsPath]);
}
