import { join } from "node:path";
import { type ExtensionContext, workspace } from "vscode";
import {
  LanguageClient,
  type LanguageClientOptions,
  type ServerOptions,
  TransportKind,
} from "vscode-languageclient/node";
import { registerProofCommand } from "./proof-command.ts";

/** The languages that wake the extension; nothing is read before one of them is opened. */
const LANGUAGES = ["separation-recipe", "separation-shop"];

let client: LanguageClient | undefined;

export async function activate(context: ExtensionContext): Promise<void> {
  const program = context.asAbsolutePath(join("dist", "platewright.js"));
  const server: ServerOptions = { module: program, args: ["lsp"], transport: TransportKind.stdio };
  const options: LanguageClientOptions = {
    documentSelector: LANGUAGES.map((language) => ({ language })),
    // An untrusted workspace's artwork is not handed to any decoder.
    initializationOptions: { readArtwork: workspace.isTrusted },
    diagnosticPullOptions: { onChange: true, onTabs: false },
  };
  client = new LanguageClient("platewright", "Platewright", server, options);
  context.subscriptions.push(
    registerProofCommand(context, program),
    workspace.onDidGrantWorkspaceTrust(() => client?.sendNotification("platewright/trusted")),
  );
  await client.start();
}

export function deactivate(): Promise<void> | undefined {
  return client?.stop();
}
