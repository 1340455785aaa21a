import { type ExtensionContext, type Uri, workspace } from "vscode";

/**
 * How far the program may read for a recipe of the workspace, as its arguments: as far as the language server does. A
 * recipe that was opened from elsewhere is the user's own choice.
 */
export function withinWorkspace(context: ExtensionContext, recipe: Uri, ...more: readonly Uri[]): string[] {
  const outside = workspace.getConfiguration("platewright").get("readOutside") === true;
  if (outside || !workspace.getWorkspaceFolder(recipe)) return [];
  const folders = [...(workspace.workspaceFolders ?? []).map(({ uri }) => uri), ...more];
  const places = [...folders.map(({ fsPath }) => fsPath), ...alsoRead(context)];
  return places.flatMap((place) => ["--within", place]);
}

/** Files outside of the workspace that the user lets be read; kept by the editor for this workspace. */
const KEPT = "alsoRead";

export function alsoRead(context: ExtensionContext): readonly string[] {
  return context.workspaceState.get<string[]>(KEPT, []);
}

/** One file more. */
export async function letRead(context: ExtensionContext, file: string): Promise<readonly string[]> {
  const files = [...new Set([...alsoRead(context), file])];
  await context.workspaceState.update(KEPT, files);
  return files;
}
