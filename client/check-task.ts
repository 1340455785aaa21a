import { join } from "node:path";
import {
  type Disposable,
  type ExtensionContext,
  ProcessExecution,
  Task,
  type TaskDefinition,
  TaskGroup,
  type TaskScope,
  tasks,
  type WorkspaceFolder,
  workspace,
} from "vscode";
import { withinWorkspace } from "./within.ts";

/** As `tasks.json` has it. */
interface CheckDefinition extends TaskDefinition {
  readonly paths?: readonly string[];
  readonly level?: string;
  readonly full?: boolean;
}

const TYPE = "platewright";

/** `check` as a task of the editor: for each folder of the workspace, and as written in `tasks.json`. */
export function registerCheckTask(context: ExtensionContext): Disposable {
  const program = context.asAbsolutePath(join("dist", "platewright.js"));
  const task = (definition: CheckDefinition, scope: WorkspaceFolder | TaskScope, name: string): Task => {
    const { paths = ["."], level, full } = definition;
    const args = [
      "check",
      ...(level ? ["--level", level] : []),
      ...(full ? ["--full"] : []),
      ...(typeof scope === "object" ? withinWorkspace(context, scope.uri) : []),
      "--",
      ...paths,
    ];
    const execution = new ProcessExecution(process.execPath, [program, ...args], {
      env: { ELECTRON_RUN_AS_NODE: "1" },
      ...(typeof scope === "object" ? { cwd: scope.uri.fsPath } : {}),
    });
    const made = new Task(definition, scope, name, "Platewright", execution, "$platewright");
    made.group = TaskGroup.Test;
    return made;
  };
  return tasks.registerTaskProvider(TYPE, {
    provideTasks: () =>
      // Artwork is read: not before its folder is trusted.
      (workspace.isTrusted ? (workspace.workspaceFolders ?? []) : []).map((folder) =>
        task({ type: TYPE, paths: ["."] }, folder, "check all recipes"),
      ),
    resolveTask: ({ definition, scope, name }) =>
      scope === undefined || !workspace.isTrusted
        ? undefined
        : task(definition as CheckDefinition, scope, name),
  });
}
