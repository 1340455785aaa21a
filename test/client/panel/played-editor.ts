import { CancellationTokenSource } from "vscode-languageserver-protocol";
import type { ToPage } from "../../../client/panel/protocol.ts";
import type { PanelEditor } from "../../../client/panel-session.ts";
import type { TestClient } from "../../lsp/client.ts";

/** An editor for a panel's session, without a window: what the page would get is noted, without its pictures. */
export function playedEditor(
  uri: string,
  client: () => TestClient,
  version: () => number,
): PanelEditor & { version: () => number; readonly posted: ToPage[]; readonly said: string[] } {
  const posted: ToPage[] = [];
  const said: string[] = [];
  return {
    uri,
    posted,
    said,
    version,
    post: (message) => {
      posted.push(message);
      // As many as a test may want to look back at.
      if (posted.length > 50) posted.shift();
    },
    request: questionsTo(client),
    apply: async () => false,
    reveal: () => {},
    revealShop: () => {},
    output: () => {},
    go: () => {},
    say: (message) => said.push(message),
    save: async () => {},
  };
}

/** Questions to a language server, which may be another one each time; a signal takes a question back. */
export function questionsTo(client: () => TestClient): PanelEditor["request"] {
  return async (method, params, signal) => {
    const token = new CancellationTokenSource();
    const cancel = () => token.cancel();
    signal.addEventListener("abort", cancel);
    try {
      return await client().connection.sendRequest(method, params, token.token);
    } finally {
      signal.removeEventListener("abort", cancel);
      token.dispose();
    }
  };
}
