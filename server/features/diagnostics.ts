import type { Diagnostic, DiagnosticSeverity, DiagnosticTag } from "vscode-languageserver-types";
import { type Finding, type Level, standing } from "../language/finding.ts";
import { type CheckedModel, type Model, toRange } from "./model.ts";

// DiagnosticSeverity of the protocol: Error = 1, Warning = 2, Information = 3. DiagnosticTag: Unnecessary = 1.
const SEVERITY: Readonly<Record<Level, DiagnosticSeverity>> = { error: 1, warning: 2, note: 3 };
const UNNECESSARY: DiagnosticTag = 1;

/** Shown faded rather than underlined. */
const FADED: readonly string[] = ["unused-ink", "idle-allowance"];

/** The findings of a model's own document. What is wrong with the shop file is shown in the shop file. */
export function diagnostics(model: CheckedModel): Diagnostic[] {
  return standing(model.findings)
    .filter(({ file }) => file === model.source.file)
    .map((finding) => toDiagnostic(model, finding));
}

/** A finding as LSP has it. */
export function toDiagnostic(model: Model, { rule, level, range, path, message, data }: Finding): Diagnostic {
  return {
    range: toRange(model.source, range),
    severity: SEVERITY[level],
    source: "platewright",
    code: rule,
    message,
    ...(FADED.includes(rule) ? { tags: [UNNECESSARY] } : {}),
    data: { path, ...data },
  };
}
