import { commands, Disposable, tasks, window } from "vscode";
import type { LanguageClient } from "vscode-languageclient/node";

/** What leads on from the palette: the walkthrough, the server's log, a check of every recipe. */
export function registerHelpCommands(client: LanguageClient): Disposable {
  return Disposable.from(
    commands.registerCommand("platewright.openWalkthrough", () =>
      commands.executeCommand("workbench.action.openWalkthrough", "platewright.platewright#firstJob"),
    ),
    commands.registerCommand("platewright.showLog", () => client.outputChannel.show()),
    commands.registerCommand("platewright.checkAll", async () => {
      const found = await tasks.fetchTasks({ type: "platewright" });
      const checks = found.filter(({ name }) => name === "check all recipes");
      if (checks.length === 0)
        void window.showInformationMessage("Open a folder that you trust: its recipes are checked then.");
      for (const check of checks) await tasks.executeTask(check);
    }),
  );
}
