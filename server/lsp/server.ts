import { setTimeout } from "node:timers/promises";
import {
  type CancellationToken,
  type Connection,
  DidChangeConfigurationNotification,
  DidChangeWatchedFilesNotification,
  type InitializeParams,
  type InitializeResult,
  LSPErrorCodes,
  ResponseError,
  TextDocumentSyncKind,
  TextDocuments,
} from "vscode-languageserver/node";
import { TextDocument } from "vscode-languageserver-textdocument";
import packageInfo from "../../package.json" with { type: "json" };
import { CODE_ACTION_KINDS, codeActions } from "../features/code-actions.ts";
import { codeLenses } from "../features/code-lenses.ts";
import { colourPresentations, documentColours } from "../features/colours.ts";
import { completion } from "../features/completion/completion.ts";
import { definition, documentHighlight, references } from "../features/definition.ts";
import { diagnostics } from "../features/diagnostics.ts";
import { documentLinks } from "../features/document-links.ts";
import { documentSymbols, workspaceSymbols } from "../features/document-symbols.ts";
import { foldingRanges } from "../features/folding.ts";
import { formatting } from "../features/formatting.ts";
import { hover } from "../features/hover.ts";
import { inlayHints } from "../features/inlay-hints.ts";
import type { CheckedModel, Model } from "../features/model.ts";
import { pressLoad } from "../features/press-load.ts";
import { prepareRename, RenameError, rename } from "../features/rename.ts";
import { selectionRange } from "../features/selection-range.ts";
import { SEMANTIC_LEGEND, semanticTokens } from "../features/semantic-tokens.ts";
import { filesOf } from "../language/project.ts";
import { CommittedRecipes } from "./committed.ts";
import { MeasureScheduler, measureRequest } from "./measure-scheduler.ts";
import { Measurer } from "./measurer.ts";
import { NearerPlates } from "./nearer-plates.ts";
import { registerPanelRequests } from "./panel-requests.ts";
import { DEFAULT_SETTINGS, readSettings } from "./settings.ts";
import { pathOfUri, uriFrom } from "./uris.ts";
import { Workspace } from "./workspace.ts";

/** Files whose change on disk can change a finding or a picture. */
const WATCHED = "**/*.{yaml,yml,png,jpg,jpeg,tif,tiff,webp,svg,gif,avif,pdf,ai}";

/** Answers a connection. Every feature is a function of a model; here is only who calls which, and when. */
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
  const committed = new CommittedRecipes(refreshLenses, (uri) => workspace.within(uri));
  const panels = registerPanelRequests(connection, measurer, {
    model: (uri) => workspace.model(uri),
    check: (uri) => workspace.check(uri),
    version: (uri) => documents.get(uri)?.version ?? 0,
    readArtwork: () => measuring.allowed,
    request: async (uri) => (await measureRequest(workspace, uri))?.request,
    within: (uri) => workspace.within(uri),
  });

  connection.onInitialize((params): InitializeResult => {
    client = params.capabilities;
    pulls = client.textDocument?.diagnostic !== undefined;
    const folders =
      params.workspaceFolders?.map(({ uri }) => uri) ?? (params.rootUri ? [params.rootUri] : []);
    workspace.folders = folders.flatMap((uri) => pathOfUri(uri) ?? []);
    // An editor that does not trust the workspace says so: then no artwork is read.
    measuring.allowed = params.initializationOptions?.readArtwork !== false;
    workspace.boundary.also = textsIn(params.initializationOptions?.alsoRead);
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
        workspace.folders = folders.flatMap(({ uri }) => pathOfUri(uri) ?? []);
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
    if (workspace.boundary.open !== settings.readOutside) {
      workspace.boundary.open = settings.readOutside;
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
    workspace.boundary.also = textsIn(files);
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

  /** Questions that are being answered. */
  let open = 0;

  async function push(uri: string, version: number | undefined): Promise<void> {
    // With a keystroke come questions that somebody waits for: findings come after them.
    do await setTimeout(1);
    while (open > 0);
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

  /** The answer of a feature, or nothing where the document is unknown, or the question was withdrawn. */
  async function answer<M extends Model, T>(
    uri: string,
    token: CancellationToken,
    making: Promise<M | undefined>,
    feature: (model: M) => T,
  ): Promise<T | undefined> {
    const asked = documents.get(uri)?.version;
    open++;
    try {
      const model = await making;
      // The question's places are those of a text that is no more.
      if (documents.get(uri)?.version !== asked)
        throw new ResponseError(LSPErrorCodes.ContentModified, "changed");
      if (token.isCancellationRequested) throw new ResponseError(LSPErrorCodes.RequestCancelled, "cancelled");
      return model && feature(model);
    } finally {
      open--;
    }
  }

  const ask = <T>(uri: string, token: CancellationToken, feature: (model: Model) => T) =>
    answer(uri, token, workspace.model(uri), feature);
  const askChecked = <T>(uri: string, token: CancellationToken, feature: (model: CheckedModel) => T) =>
    answer(uri, token, workspace.checked(uri), feature);
  const askWide = <T>(uri: string, token: CancellationToken, feature: (model: Model) => T) =>
    answer(uri, token, workspace.wideModel(uri), feature);

  const offset = (uri: string, position: { line: number; character: number }) =>
    documents.get(uri)?.offsetAt(position) ?? 0;

  connection.languages.diagnostics.on(async ({ textDocument: { uri } }, token) => ({
    kind: "full",
    items: (await askChecked(uri, token, diagnostics)) ?? [],
  }));
  connection.onCompletion(({ textDocument: { uri }, position }, token) =>
    ask(uri, token, (model) => completion(model, offset(uri, position))),
  );
  connection.onHover(async ({ textDocument: { uri }, position }, token) =>
    ask(uri, token, (model) => hover(model, offset(uri, position))),
  );
  connection.onDefinition(({ textDocument: { uri }, position }, token) =>
    ask(uri, token, (model) => definition(model, offset(uri, position))),
  );
  connection.onReferences(({ textDocument: { uri }, position, context }, token) =>
    askWide(uri, token, (model) => references(model, offset(uri, position), context.includeDeclaration)),
  );
  connection.onDocumentHighlight(({ textDocument: { uri }, position }, token) =>
    ask(uri, token, (model) => documentHighlight(model, offset(uri, position))),
  );
  connection.onPrepareRename(({ textDocument: { uri }, position }, token) =>
    ask(uri, token, (model) => prepareRename(model, offset(uri, position))),
  );
  connection.onRenameRequest(({ textDocument: { uri }, position, newName }, token) =>
    askWide(uri, token, (model) => {
      try {
        return rename(model, offset(uri, position), newName);
      } catch (error) {
        if (error instanceof RenameError) throw new ResponseError(LSPErrorCodes.RequestFailed, error.message);
        throw error;
      }
    }),
  );
  connection.onDocumentLinks(({ textDocument: { uri } }, token) =>
    ask(uri, token, (model) => documentLinks(model, (path) => uriFrom(uri, path))),
  );
  connection.onDocumentColor(
    async ({ textDocument: { uri } }, token) => (await ask(uri, token, documentColours)) ?? [],
  );
  connection.onColorPresentation(
    async ({ textDocument: { uri }, color, range }, token) =>
      (await ask(uri, token, (model) => colourPresentations(model, color, range))) ?? [],
  );
  connection.onDocumentSymbol(({ textDocument: { uri } }, token) => ask(uri, token, documentSymbols));
  connection.onWorkspaceSymbol(async ({ query }) => workspaceSymbols(await workspace.recipes(), query));
  connection.onFoldingRanges(({ textDocument: { uri } }, token) => ask(uri, token, foldingRanges));
  connection.onSelectionRanges(({ textDocument: { uri }, positions }, token) =>
    ask(uri, token, (model) => positions.map((position) => selectionRange(model, offset(uri, position)))),
  );
  connection.languages.semanticTokens.on(
    async ({ textDocument: { uri } }, token) => (await ask(uri, token, semanticTokens)) ?? { data: [] },
  );
  connection.onDocumentFormatting(({ textDocument: { uri }, options }, token) =>
    ask(uri, token, (model) => formatting(model, options)),
  );
  connection.languages.inlayHint.on(({ textDocument: { uri }, range }, token) =>
    ask(uri, token, (model) => inlayHints(model, range, settings.inlayHints)),
  );
  connection.onCodeLens(({ textDocument: { uri } }, token) => {
    if (!settings.codeLenses) return [];
    // No git in a workspace that is not trusted.
    const before = measuring.allowed ? committed.of(uri) : undefined;
    return askChecked(uri, token, (model) => codeLenses(model, before, nearer.of(uri)));
  });
  // Not part of the protocol either: the editor's status bar asks.
  connection.onRequest(
    "platewright/pressLoad",
    async ({ uri }: { readonly uri: string }, token) => (await ask(uri, token, pressLoad)) ?? null,
  );
  connection.onCodeAction(async ({ textDocument: { uri }, range, context }, token) => {
    const files = await workspace.nearFilesOf(uri);
    return askChecked(uri, token, (model) => codeActions(model, range, context, files));
  });

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
