import { type ChildProcess, spawn } from "node:child_process";
import { fileURLToPath, pathToFileURL } from "node:url";
import {
  createProtocolConnection,
  type Diagnostic,
  type InitializeParams,
  type InitializeResult,
  type ProtocolConnection,
  type PublishDiagnosticsParams,
  StreamMessageReader,
  StreamMessageWriter,
  type TextDocumentContentChangeEvent,
} from "vscode-languageserver-protocol/node";

/** The built program. */
export const PROGRAM = fileURLToPath(new URL("../../dist/platewright.js", import.meta.url));

/** An editor as the server sees it: the built program in a process of its own, spoken to over stdio. */
export class TestClient {
  readonly process: ChildProcess;
  readonly connection: ProtocolConnection;
  /** Everything that was published, in order. */
  readonly published: PublishDiagnosticsParams[] = [];
  /** Requests that the server made of the editor, by method. */
  readonly asked: string[] = [];
  settings: unknown = {};
  /** URIs of the workspace's folders. */
  folders: string[] = [];
  #onPublished: () => void = () => {};
  readonly #versions = new Map<string, number>();

  /** `command`: another server's program and arguments, for comparison; `env` is added to the environment. */
  constructor(
    command: readonly string[] = [PROGRAM, "lsp", "--stdio"],
    env: Readonly<Record<string, string>> = {},
  ) {
    this.process = spawn(process.execPath, command, {
      stdio: ["pipe", "pipe", "inherit"],
      env: { ...process.env, ...env },
    });
    this.connection = createProtocolConnection(
      new StreamMessageReader(this.process.stdout!),
      new StreamMessageWriter(this.process.stdin!),
    );
    this.connection.onNotification("textDocument/publishDiagnostics", (params: PublishDiagnosticsParams) => {
      this.published.push(params);
      this.#onPublished();
    });
    this.connection.onRequest("workspace/configuration", ({ items }: { items: unknown[] }) =>
      items.map(() => this.settings),
    );
    this.connection.onRequest("workspace/workspaceFolders", () =>
      this.folders.map((uri) => ({ uri, name: uri })),
    );
    for (const method of [
      "client/registerCapability",
      "client/unregisterCapability",
      "window/workDoneProgress/create",
      "workspace/inlayHint/refresh",
      "workspace/codeLens/refresh",
      "workspace/diagnostic/refresh",
    ]) {
      this.connection.onRequest(method, () => {
        this.asked.push(method);
        return null;
      });
    }
    this.connection.listen();
    // Whatever still waits for an answer of a server that died has failed.
    this.process.once("exit", () => this.connection.dispose());
  }

  async start(
    folder: string,
    capabilities: InitializeParams["capabilities"] = {},
    options?: unknown,
  ): Promise<InitializeResult> {
    const uri = pathToFileURL(folder).href;
    this.folders = [uri];
    const params: InitializeParams = {
      processId: process.pid,
      rootUri: uri,
      workspaceFolders: [{ uri, name: "shop" }],
      capabilities: { workspace: { configuration: true }, ...capabilities },
      initializationOptions: options,
    };
    const result = await this.connection.sendRequest<InitializeResult>("initialize", params);
    await this.connection.sendNotification("initialized", {});
    return result;
  }

  open(uri: string, text: string, languageId = "separation-recipe"): Promise<void> {
    this.#versions.set(uri, 1);
    return this.connection.sendNotification("textDocument/didOpen", {
      textDocument: { uri, languageId, version: 1, text },
    });
  }

  /** Returns the version that the document has afterwards. */
  async change(uri: string, ...contentChanges: TextDocumentContentChangeEvent[]): Promise<number> {
    const version = (this.#versions.get(uri) ?? 0) + 1;
    this.#versions.set(uri, version);
    await this.connection.sendNotification("textDocument/didChange", {
      textDocument: { uri, version },
      contentChanges,
    });
    return version;
  }

  /** The findings published for a version of a document, waited for. */
  async findings(uri: string, version = this.#versions.get(uri)): Promise<Diagnostic[]> {
    return until(() => this.published.findLast((p) => p.uri === uri && p.version === version)?.diagnostics);
  }

  /** Waits until more than `count` lists have been published; no polling, so that it can be timed. */
  publishedAfter(count: number): Promise<void> {
    return new Promise((resolve) => {
      this.#onPublished = () => {
        if (this.published.length > count) resolve();
      };
      this.#onPublished();
    });
  }

  request<T>(method: string, params: unknown): Promise<T> {
    return this.connection.sendRequest<T>(method, params);
  }

  /** Ends the server as the protocol says; gives its exit status. */
  async stop(): Promise<number | null> {
    const gone = new Promise<number | null>((resolve) =>
      this.process.once("exit", (status) => resolve(status)),
    );
    await this.connection.sendRequest("shutdown");
    await this.connection.sendNotification("exit");
    return gone;
  }
}

/** Polls until there is an answer; fails after some seconds. */
export async function until<T>(
  answer: () => T | undefined | Promise<T | undefined>,
  seconds = 50,
): Promise<T> {
  const end = Date.now() + seconds * 1000;
  for (;;) {
    const found = await answer();
    if (found !== undefined) return found;
    if (Date.now() > end) throw new Error("waited in vain");
    await new Promise((resolve) => setTimeout(resolve, 5));
  }
}
