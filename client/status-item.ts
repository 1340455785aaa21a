import {
  type Diagnostic,
  DiagnosticSeverity,
  Disposable,
  languages,
  MarkdownString,
  StatusBarAlignment,
  type TextEditor,
  ThemeColor,
  window,
  workspace,
} from "vscode";
import type { LanguageClient } from "vscode-languageclient/node";
import type { PressLoad } from "../server/features/press-load.ts";
import { type Findings, statusOf } from "./status-text.ts";

const REST_MS = 150;

/** Stations used and findings, in the status bar while a recipe is being written. A click leads to what to do next. */
export function registerStatusItem(client: LanguageClient): Disposable {
  const item = window.createStatusBarItem("platewright.status", StatusBarAlignment.Right, 90);
  item.name = "Platewright";
  let timer: ReturnType<typeof setTimeout> | undefined;

  const show = async (editor: TextEditor | undefined): Promise<void> => {
    if (editor?.document.languageId !== "separation-recipe") {
      item.hide();
      return;
    }
    const { uri } = editor.document;
    const load = await client
      .sendRequest<PressLoad | null>("platewright/pressLoad", { uri: uri.toString() })
      .catch(() => null);
    if (!load || window.activeTextEditor !== editor) return;
    const diagnostics = languages.getDiagnostics(uri);
    const { text, tooltip, full } = statusOf(load, byLevel(diagnostics));
    item.text = text;
    item.tooltip = new MarkdownString(tooltip);
    item.backgroundColor = full ? new ThemeColor("statusBarItem.warningBackground") : undefined;
    item.command = diagnostics.length > 0 ? "workbench.actions.view.problems" : "platewright.openProof";
    item.show();
  };
  const soon = () => {
    clearTimeout(timer);
    timer = setTimeout(() => void show(window.activeTextEditor), REST_MS);
  };
  soon();
  return Disposable.from(
    item,
    window.onDidChangeActiveTextEditor(soon),
    languages.onDidChangeDiagnostics(soon),
    workspace.onDidChangeTextDocument(soon),
    new Disposable(() => clearTimeout(timer)),
  );
}

function byLevel(diagnostics: readonly Diagnostic[]): Findings {
  const count = (wanted: DiagnosticSeverity) =>
    diagnostics.filter(({ severity }) => severity === wanted).length;
  return {
    error: count(DiagnosticSeverity.Error),
    warning: count(DiagnosticSeverity.Warning),
    note: count(DiagnosticSeverity.Information) + count(DiagnosticSeverity.Hint),
  };
}
