import { setTimeout } from "node:timers/promises";
import {
  type Connection,
  DidChangeConfigurationNotification,
  DidChangeWatchedFilesNotification,
  type InitializeParams,
  type InitializeResult,
  TextDocumentSyncKind,
  TextDocuments,
} from "vscode-languageserver/node";
import { TextDocument } from "vscode-languageserver-textdocument";
import packageInfo from "../../package.json" with { type: "json" };
import { CODE_ACTION_KINDS } from "../features/code-actions.ts";
import { codeLenses } from "../features/code-lenses.ts";
import { diagnostics } from "../features/diagnostics.ts";
import { SEMANTIC_LEGEND } from "../features/semantic-tokens.ts";
import { filesOf } from "../language/project.ts";
import { CommittedRecipes } from "./committed.ts";
import { registerFeatures } from "./feature-requests.ts";
import { MeasureScheduler, measureRequest } from "./measure-scheduler.ts";
import { Measurer } from "./measurer.ts";
import { NearerPlates } from "./nearer-plates.ts";
import { registerPanelRequests } from "./panel-requests.ts";
import { DEFAULT_SETTINGS, readSettings } from "./settings.ts";
import { pathOfUri, uriFrom } from "./uris.ts";
import { Workspace } from "./workspace.ts";

/** Files whose change on disk can change a finding or a picture. */
const WATCHED = "**/*.{yaml,yml,png,jpg,jpeg,tif,tiff,webp,svg,gif,avif,pdf,ai}";

/** Serves a connection: what an editor tells of documents, settings and trust, and what it is told again and when. */
export function startServer(connection: Connection, measureProgram: string): void {
  const documents = new TextDocuments(TextDocument);
  const workspace = new Workspace((uri) => documents.get(uri));
  let settings = DEFAULT_SETTINGS;
  let client: InitializeParams["capabilities"] = {};
  let pulls = false;

  const measurer = new Measurer(measureProgram);
  const measuring = new MeasureScheduler(workspace, measurer, {
    wanted: () => settings.measure,
    async progress(title) {
      if (!client.window?.workDoneProgress) return { done: () => {} };
      const progress = await connection.window.createWorkDoneProgress();
      progress.begin(title, undefined, undefined, true);
      return { done: () => progress.done(), cancelled: progress.token };
    },
    measured(uri) {
      tellAgain(uri);
      if (settings.codeLenses) nearer.measured(uri);
      if (client.workspace?.inlayHint?.refreshSupport) void connection.languages.inlayHint.refresh();
    },
    failed: (uri, message) => connection.console.warn(`${uri}: ${message}`),
  });

  const refreshLenses = () => {
    if (client.workspace?.codeLens?.refreshSupport) void connection.sendRequest("workspace/codeLens/refresh");
  };
  const nearer = new NearerPlates(workspace, measurer, refreshLenses);
  const committed = new CommittedRecipes(refreshLenses, (uri) => workspace.files.within(uri));
  const panels = registerPanelRequests(connection, measurer, {
    model: (uri) => workspace.model(uri),
    check: (uri) => workspace.check(uri),
    version: (uri) => documents.get(uri)?.version ?? 0,
    readArtwork: () => measuring.allowed,
    request: async (uri) => (await measureRequest(workspace, uri))?.request,
    within: (uri) => workspace.files.within(uri),
  });

  const questions = registerFeatures(connection, documents, workspace, {
    inlayHints: () => settings.inlayHints,
    codeLenses(uri) {
      if (!settings.codeLenses) return undefined;
      // No git in a workspace that is not trusted.
      const before = measuring.allowed ? committed.of(uri) : undefined;
      return (model) => codeLenses(model, before, nearer.of(uri));
    },
  });

  connection.onInitialize((params): InitializeResult => {
    client = params.capabilities;
    pulls = client.textDocument?.diagnostic !== undefined;
    const folders =
      params.workspaceFolders?.map(({ uri }) => uri) ?? (params.rootUri ? [params.rootUri] : []);
    workspace.files.folders = folders.flatMap((uri) => pathOfUri(uri) ?? []);
    // An editor that does not trust the workspace says so: then no artwork is read.
    measuring.allowed = params.initializationOptions?.readArtwork !== false;
    workspace.files.boundary.also = textsIn(params.initializationOptions?.alsoRead);
    return {
      serverInfo: { name: "platewright", version: packageInfo.version },
      capabilities: {
        textDocumentSync: { openClose: true, change: TextDocumentSyncKind.Incremental, save: false },
        completionProvider: { triggerCharacters: [" ", ":", "-", "[", "{", ",", '"', "#"] },
        hoverProvider: true,
        definitionProvider: true,
        referencesProvider: true,
        documentHighlightProvider: true,
        renameProvider: { prepareProvider: true },
        documentLinkProvider: {},
        colorProvider: true,
        documentSymbolProvider: true,
        workspaceSymbolProvider: true,
        foldingRangeProvider: true,
        selectionRangeProvider: true,
        semanticTokensProvider: { legend: SEMANTIC_LEGEND, full: true },
        documentFormattingProvider: true,
        inlayHintProvider: true,
        codeLensProvider: {},
        codeActionProvider: { codeActionKinds: [...CODE_ACTION_KINDS] },
        diagnosticProvider: { interFileDependencies: true, workspaceDiagnostics: false },
        workspace: { workspaceFolders: { supported: true, changeNotifications: true } },
      },
    };
  });

  connection.onInitialized(async () => {
    if (client.workspace?.didChangeConfiguration?.dynamicRegistration) {
      await connection.client.register(DidChangeConfigurationNotification.type, { section: "platewright" });
    }
    if (client.workspace?.didChangeWatchedFiles?.dynamicRegistration) {
      await connection.client.register(DidChangeWatchedFilesNotification.type, {
        watchers: [{ globPattern: WATCHED }],
      });
    }
    if (client.workspace?.workspaceFolders) {
      connection.workspace.onDidChangeWorkspaceFolders(async () => {
        const folders = (await connection.workspace.getWorkspaceFolders()) ?? [];
        workspace.files.folders = folders.flatMap(({ uri }) => pathOfUri(uri) ?? []);
      });
    }
    await loadSettings();
  });

  async function loadSettings(sent?: unknown): Promise<void> {
    const asked = client.workspace?.configuration
      ? await connection.workspace.getConfiguration("platewright")
      : sent;
    settings = readSettings(asked);
    workspace.levels = settings.rules;
    measurer.deadline = settings.deadline;
    if (workspace.files.boundary.open !== settings.readOutside) {
      workspace.files.boundary.open = settings.readOutside;
      panels.changed();
    }
    if (client.workspace?.inlayHint?.refreshSupport) void connection.languages.inlayHint.refresh();
    refreshLenses();
    for (const { uri } of documents.all()) {
      measuring.changed(uri);
      tellAgain(uri);
    }
  }

  /** Findings may be others though the text is the same. */
  function tellAgain(uri: string): void {
    if (!pulls) setImmediate(() => push(uri, documents.get(uri)?.version));
    else if (client.workspace?.diagnostics?.refreshSupport) connection.languages.diagnostics.refresh();
  }

  // Not part of the protocol: the editor's user has come to trust the workspace.
  connection.onNotification("platewright/trusted", () => {
    measuring.allowed = true;
    for (const { uri } of documents.all()) measuring.changed(uri);
    panels.changed();
  });

  // Nor this: the user lets single files be read that lie outside of the workspace.
  connection.onNotification("platewright/alsoRead", ({ files }: { readonly files?: unknown }) => {
    workspace.files.boundary.also = textsIn(files);
    for (const { uri } of documents.all()) refresh(uri);
    panels.changed();
  });

  connection.onDidChangeConfiguration(({ settings: sent }) => loadSettings(sent?.platewright));

  connection.onDidChangeWatchedFiles(({ changes }) => {
    for (const { uri } of changes) workspace.forget(uri);
    panels.changed();
    const changed = new Set(changes.map(({ uri }) => uri));
    for (const { uri } of documents.all()) void refreshIfTouched(uri, changed);
  });

  async function refreshIfTouched(uri: string, changed: ReadonlySet<string>): Promise<void> {
    const model = await workspace.model(uri);
    if (!model) return;
    const { shop, pictures, recipes } = filesOf(model.source);
    const named = [shop, ...pictures.map(({ file }) => file), ...recipes];
    const used = named.flatMap((path) => uriFrom(uri, path) ?? []);
    if (used.some((file) => changed.has(file))) refresh(uri);
  }

  documents.onDidChangeContent(({ document }) => {
    refresh(document.uri);
    if (document.languageId !== "separation-recipe") panels.changed();
    // An open shop file is part of the recipes that are open beside it, as is a recipe of orders.
    for (const other of documents.all())
      if (other.uri !== document.uri) void refreshIfTouched(other.uri, new Set([document.uri]));
  });

  documents.onDidClose(({ document }) => {
    workspace.close(document.uri);
    measuring.closed(document.uri);
    committed.close(document.uri);
    nearer.closed(document.uri);
    seen.delete(document.uri);
    if (!pulls) void connection.sendDiagnostics({ uri: document.uri, diagnostics: [] });
  });

  function refresh(uri: string): void {
    measuring.changed(uri);
    nearer.changed(uri);
    if (pulls) {
      if (client.workspace?.diagnostics?.refreshSupport && !justTyped(uri))
        connection.languages.diagnostics.refresh();
    } else {
      void push(uri, documents.get(uri)?.version);
    }
  }

  /** A client that pulls asks again by itself for the document that was typed in. */
  const seen = new Map<string, number>();
  function justTyped(uri: string): boolean {
    const version = documents.get(uri)?.version ?? 0;
    const typed = seen.get(uri) !== version;
    seen.set(uri, version);
    return typed;
  }

  async function push(uri: string, version: number | undefined): Promise<void> {
    // With a keystroke come questions that somebody waits for: findings come after them.
    do await setTimeout(1);
    while (questions.areOpen());
    // Text that has moved on meanwhile has its own turn coming.
    if (documents.get(uri)?.version !== version) return;
    const model = await workspace.checked(uri);
    if (!model || documents.get(uri)?.version !== version) return;
    await connection.sendDiagnostics({
      uri,
      ...(version === undefined ? {} : { version }),
      diagnostics: diagnostics(model),
    });
  }

  connection.onShutdown(() => {
    measuring.dispose();
    nearer.dispose();
    measurer.dispose();
  });
  documents.listen(connection);
  connection.listen();
}

function textsIn(list: unknown): string[] {
  return Array.isArray(list) ? list.filter((text) => typeof text === "string") : [];
}
