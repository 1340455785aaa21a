import {
  commands,
  type Diagnostic,
  DiagnosticSeverity,
  Disposable,
  languages,
  MarkdownString,
  StatusBarAlignment,
  ThemeColor,
  type Uri,
  window,
  workspace,
} from "vscode";
import type { LanguageClient } from "vscode-languageclient/node";
import type { PressLoad } from "../server/features/press-load.ts";
import { type Findings, statusOf } from "./status-text.ts";

const REST_MS = 150;

/** Stations used and findings, in the status bar while a recipe is being written. A click leads to what to do next. */
export function registerStatusItem(client: LanguageClient, inPanel: () => Uri | undefined): Disposable {
  const item = window.createStatusBarItem("platewright.status", StatusBarAlignment.Right, 90);
  item.name = "Platewright";
  let timer: ReturnType<typeof setTimeout> | undefined;

  /** How many findings each recipe had. */
  const found = new Map<string, number>();
  /** The recipe that is being written, or whose proof has the focus. */
  const meant = (): Uri | undefined => {
    const document = window.activeTextEditor?.document;
    return document?.languageId === "separation-recipe" ? document.uri : inPanel();
  };
  const show = async (): Promise<void> => {
    const uri = meant();
    if (!uri) {
      item.hide();
      return;
    }
    const load = await client
      .sendRequest<PressLoad | null>("platewright/pressLoad", { uri: uri.toString() })
      .catch(() => null);
    if (!load || meant()?.toString() !== uri.toString()) return;
    const diagnostics = languages.getDiagnostics(uri);
    const findings = diagnostics.length;
    if (findings < (found.get(uri.toString()) ?? 0))
      void commands.executeCommand("setContext", "platewright.findingMended", true);
    found.set(uri.toString(), findings);
    const { text, tooltip, full } = statusOf(load, byLevel(diagnostics));
    item.text = text;
    item.tooltip = new MarkdownString(tooltip);
    item.backgroundColor = full ? new ThemeColor("statusBarItem.warningBackground") : undefined;
    item.command = diagnostics.length > 0 ? "workbench.actions.view.problems" : "platewright.openProof";
    item.show();
  };
  const soon = () => {
    clearTimeout(timer);
    timer = setTimeout(() => void show(), REST_MS);
  };
  soon();
  return Disposable.from(
    item,
    window.onDidChangeActiveTextEditor(soon),
    window.tabGroups.onDidChangeTabs(soon),
    window.tabGroups.onDidChangeTabGroups(soon),
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
