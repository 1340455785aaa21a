import { join } from "node:path";
import { type ExtensionContext, workspace } from "vscode";
import {
  LanguageClient,
  type LanguageClientOptions,
  RevealOutputChannelOn,
  type ServerOptions,
  State,
  TransportKind,
} from "vscode-languageclient/node";
import { registerCalibrationCommands } from "./calibration-commands.ts";
import { registerCheckTask } from "./check-task.ts";
import { registerHandOnCommands } from "./hand-on-commands.ts";
import { registerHelpCommands } from "./help-commands.ts";
import { registerOrderCommand } from "./order-command.ts";
import { registerOutputCommands } from "./output-commands.ts";
import { registerProofPanels } from "./proof-panels.ts";
import { registerProposeCommand } from "./propose-command.ts";
import { registerSampleCommand } from "./sample-command.ts";
import { reportRestarts } from "./server-restarts.ts";
import { registerStatusItem } from "./status-item.ts";
import { registerTuneCommand } from "./tune-command.ts";
import { registerWaysOut } from "./ways-out.ts";
import { alsoRead } from "./within.ts";

/** The languages that wake the extension; nothing is read before one of them is opened. */
const LANGUAGES = ["separation-recipe", "separation-shop", "separation-order"];

let client: LanguageClient | undefined;

/** Everything is registered at once; whoever needs the server waits for it, and nobody for the extension. */
export function activate(context: ExtensionContext): void {
  const program = context.asAbsolutePath(join("dist", "platewright.js"));
  const server: ServerOptions = { module: program, args: ["lsp"], transport: TransportKind.stdio };
  const options: LanguageClientOptions = {
    documentSelector: LANGUAGES.map((language) => ({ language })),
    // An untrusted workspace's artwork is not handed to any decoder.
    initializationOptions: () => ({
      readArtwork: workspace.isTrusted,
      alsoRead: alsoRead(context),
    }),
    errorHandler: reportRestarts(() => started),
    // A request that failed is for the log; what the user should know has words of its own.
    revealOutputChannelOn: RevealOutputChannelOn.Never,
    diagnosticPullOptions: { onChange: true, onTabs: false },
  };
  const started = new LanguageClient("platewright", "Platewright", server, options);
  client = started;
  const starting = started.start();
  const ready = () => starting.then(() => started);
  const panels = registerProofPanels(context, ready);
  registerOutputCommands(context, ready);
  registerCalibrationCommands(context, ready);
  context.subscriptions.push(
    panels,
    registerWaysOut(context, ready),
    registerProposeCommand(context),
    registerTuneCommand(context),
    registerOrderCommand(context),
    registerHandOnCommands(context, ready),
    registerSampleCommand(context),
    registerHelpCommands(started),
    registerCheckTask(context),
    started.onNotification("platewright/changed", () => panels.filesChanged()),
    // A server that was started again knows of no panel.
    started.onDidChangeState(({ newState }) => {
      if (newState === State.Running) panels.filesChanged();
    }),
    workspace.onDidGrantWorkspaceTrust(() => started.sendNotification("platewright/trusted")),
  );
  starting.then(
    () => context.subscriptions.push(registerStatusItem(started, panels.focused)),
    () => undefined, // The client has told the user, with a way to the server's output.
  );
}

/** Ends the language server with the window. */
export function deactivate(): Promise<void> | undefined {
  return client?.stop();
}
