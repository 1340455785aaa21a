import {
  type CancellationToken,
  type CodeLens,
  type Connection,
  LSPErrorCodes,
  ResponseError,
  type TextDocuments,
} from "vscode-languageserver/node";
import type { TextDocument } from "vscode-languageserver-textdocument";
import { codeActions } from "../features/code-actions.ts";
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
import { semanticTokens } from "../features/semantic-tokens.ts";
import type { Settings } from "./settings.ts";
import { uriFrom } from "./uris.ts";
import type { Workspace } from "./workspace.ts";

/** What features depend on besides a model. */
export interface FeatureHost {
  inlayHints(): Settings["inlayHints"];
  /** The lenses of a document's model; undefined where none are wanted. */
  codeLenses(uri: string): ((model: CheckedModel) => CodeLens[]) | undefined;
}

/** Tells whether somebody waits for an answer. */
export interface Questions {
  areOpen(): boolean;
}

/** Answers an editor's questions. Every feature is a function of a model: here is only which question it answers. */
export function registerFeatures(
  connection: Connection,
  documents: TextDocuments<TextDocument>,
  workspace: Workspace,
  host: FeatureHost,
): Questions {
  let open = 0;

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
  connection.onWorkspaceSymbol(async ({ query }) => workspaceSymbols(await workspace.files.recipes(), query));
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
    ask(uri, token, (model) => inlayHints(model, range, host.inlayHints())),
  );
  connection.onCodeLens(({ textDocument: { uri } }, token) => {
    const lenses = host.codeLenses(uri);
    return lenses ? askChecked(uri, token, lenses) : [];
  });
  // Not part of the protocol: the editor's status bar asks.
  connection.onRequest(
    "platewright/pressLoad",
    async ({ uri }: { readonly uri: string }, token) => (await ask(uri, token, pressLoad)) ?? null,
  );
  connection.onCodeAction(async ({ textDocument: { uri }, range, context }, token) => {
    const files = await workspace.nearFilesOf(uri);
    return askChecked(uri, token, (model) => codeActions(model, range, context, files));
  });
  return { areOpen: () => open > 0 };
}
