import { Position } from "vscode-languageserver-types";
import { codeActions } from "../../server/features/code-actions.ts";
import { codeLenses } from "../../server/features/code-lenses.ts";
import { colourPresentations, documentColours } from "../../server/features/colours.ts";
import { completion } from "../../server/features/completion/completion.ts";
import { definition, documentHighlight, references } from "../../server/features/definition.ts";
import { diagnostics } from "../../server/features/diagnostics.ts";
import { documentLinks } from "../../server/features/document-links.ts";
import { documentSymbols, workspaceSymbols } from "../../server/features/document-symbols.ts";
import { foldingRanges } from "../../server/features/folding.ts";
import { formatting } from "../../server/features/formatting.ts";
import { hover } from "../../server/features/hover.ts";
import { inlayHints } from "../../server/features/inlay-hints.ts";
import { type CheckedModel, type Model, toPosition } from "../../server/features/model.ts";
import { panelEdit } from "../../server/features/panel/edits.ts";
import { jobOf, panelFindings } from "../../server/features/panel/job.ts";
import { panelPlace, panelRange } from "../../server/features/panel/place.ts";
import { reasonsFor } from "../../server/features/panel/why.ts";
import { pressLoad } from "../../server/features/press-load.ts";
import { prepareRename, RenameError, rename } from "../../server/features/rename.ts";
import { selectionRange } from "../../server/features/selection-range.ts";
import { semanticTokens } from "../../server/features/semantic-tokens.ts";
import { resolveRecipe } from "../../server/language/resolve-recipe.ts";
import { resolveUri } from "../../server/lsp/uris.ts";
import { Workspace } from "../../server/lsp/workspace.ts";
import { separationPlan } from "../../server/render/plan/separation-plan.ts";
import { isResolvable } from "../../server/rules/check.ts";
import { random } from "../property.ts";
import type { FuzzCase } from "./mutations.ts";

const SETTINGS = { coverage: true, screens: true, resolution: true };

/** Opens documents as the server does, one after another in the same place, and asks everything of each. */
export class Trial {
  readonly #texts = new Map<string, { version: number; languageId: string; text: string }>();
  readonly #workspace = new Workspace((uri) => {
    const held = this.#texts.get(uri);
    return held && { ...held, getText: () => held.text };
  });
  #version = 0;

  /**
   * What is wrong with how a document was taken; undefined where nothing is. `thorough`: every feature is asked,
   * else findings alone are made.
   */
  async faultOf({ kind, text, shop }: FuzzCase, thorough = true): Promise<string | undefined> {
    const [main, beside] = ["file:///jobs/fuzz/fuzz.sep.yaml", "file:///jobs/workshop.shop.yaml"];
    const put = (uri: string, languageId: string, held: string) => {
      if (this.#texts.get(uri)?.text !== held)
        this.#texts.set(uri, { version: ++this.#version, languageId, text: held });
    };
    put(beside, "separation-shop", kind === "shop" ? text : shop);
    if (kind === "recipe") put(main, "separation-recipe", text);
    const uri = kind === "recipe" ? main : beside;
    try {
      const model = await this.#workspace.checked(uri);
      if (!model) return "there is no model of it";
      const fault = rangesOutside(model);
      if (fault) return fault;
      if (!thorough) return undefined;
      const next = random(text.length);
      askOfTheWhole(model);
      for (let i = 0; i < 3; i++) askAt(model, Math.floor(next() * (text.length + 1)));
      if (({} as Record<string, unknown>).polluted !== undefined) return "Object.prototype was changed";
      return undefined;
    } catch (error) {
      return `threw: ${(error as Error).stack ?? String(error)}`;
    } finally {
      // Documents that were open no more are forgotten, as far as the server forgets them.
      if (this.#version % 50 === 0) for (const held of [main, beside]) this.#workspace.close(held);
    }
  }
}

function rangesOutside({ source, findings }: CheckedModel): string | undefined {
  for (const { file, range, message } of findings) {
    if (file !== source.file) continue;
    const { start, end } = range;
    if (!(start >= 0 && start <= end && end <= source.text.length))
      return `a finding stands at ${start}–${end} of ${source.text.length}: ${message}`;
    // Words of the text may stand in a message; what a program says of its own data may not.
    if (/\[object |\bundefined\b/.test(message) && !/\[object |undefined/.test(source.text))
      return `a finding says: ${message}`;
  }
  return undefined;
}

function askOfTheWhole(model: CheckedModel): void {
  const { source } = model;
  const whole = { start: { line: 0, character: 0 }, end: toPosition(source, source.text.length) };
  diagnostics(model);
  documentLinks(model, (path) => resolveUri(model.uri, path));
  for (const { color, range } of documentColours(model).slice(0, 3)) colourPresentations(model, color, range);
  documentSymbols(model);
  workspaceSymbols([model], "e");
  foldingRanges(model);
  semanticTokens(model);
  formatting(model, { tabSize: 2 });
  inlayHints(model, whole, SETTINGS);
  codeLenses(model);
  codeActions(model, whole);
  pressLoad(model);
  panelFindings(model);
  panelRange(model, ["plates", "ember"]);
  if (source.kind === "shop") return;
  panelEdit(model, { kind: "extract", colour: [200, 30, 20], into: "ember" });
  panelEdit(model, { kind: "order", setup: "dark", order: [1, 0] });
  if (!isResolvable(model.findings)) return;
  const recipe = resolveRecipe(source, model.shop?.source, model.readings);
  separationPlan(recipe);
  jobOf(recipe, "mm");
  reasonsFor(model, recipe, "ember", { x: 1, y: 1, rgba: [200, 30, 20, 255] });
}

function askAt(model: Model, offset: number): void {
  const position = toPosition(model.source, offset);
  if (!Position.is(position)) throw new Error(`no place: ${JSON.stringify(position)}`);
  completion(model, offset);
  hover(model, offset);
  definition(model, offset);
  references(model, offset, true);
  documentHighlight(model, offset);
  prepareRename(model, offset);
  try {
    rename(model, offset, "renamed");
  } catch (error) {
    if (!(error instanceof RenameError)) throw error;
  }
  selectionRange(model, offset);
  panelPlace(model, offset);
}
