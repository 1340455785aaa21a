import { TabInputWebview, type Uri, ViewColumn, window } from "vscode";

/** Shows a text left of the proof: never in a column that holds one, whichever has the focus. */
export async function showText(uri: Uri): Promise<void> {
  const holdsProof = (column: ViewColumn) =>
    window.tabGroups.all.some(
      ({ viewColumn, tabs }) =>
        viewColumn === column && tabs.some(({ input }) => input instanceof TabInputWebview),
    );
  const active = window.tabGroups.activeTabGroup.viewColumn;
  const free = window.tabGroups.all.find(({ viewColumn }) => !holdsProof(viewColumn))?.viewColumn;
  await window.showTextDocument(uri, {
    viewColumn: holdsProof(active) ? (free ?? ViewColumn.Beside) : active,
  });
}
