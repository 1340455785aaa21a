import type { CodeAction, Range, TextEdit } from "vscode-languageserver-types";
import { placeAt } from "../language/cursor.ts";
import { rangeAt } from "../language/document.ts";
import { type Change, reorderEntries } from "../language/edit.ts";
import { type Finding, standing, type TextRange } from "../language/finding.ts";
import { fieldsOf } from "../language/partial-data.ts";
import { sentence } from "../language/words.ts";
import { allowFixes } from "./code-actions/allow-fixes.ts";
import { extractInk } from "./code-actions/extract-ink.ts";
import { fileFixes, type NearFiles, NO_FILES } from "./code-actions/file-fixes.ts";
import type { Fix } from "./code-actions/fix.ts";
import { fixesFor } from "./code-actions/fixes.ts";
import { pressOrder, stepsOf } from "./code-actions/press-order.ts";
import { toDiagnostic } from "./diagnostics.ts";
import { type CheckedModel, type Model, toOffset, toRange } from "./model.ts";

/** Applied on saving, by editors that are told to. */
export const FIX_ALL = "source.fixAll.platewright";
/** What the server announces that it offers. */
export const CODE_ACTION_KINDS: readonly string[] = [
  "quickfix",
  "refactor.extract",
  "refactor.rewrite",
  FIX_ALL,
];

/**
 * What can be done at a range: mend the findings that it touches, refactor what it starts in, and mend all of the
 * file that can be mended in one way only. `only` holds the kinds that are asked for, as in the protocol.
 */
export function codeActions(
  model: CheckedModel,
  range: Range,
  { only }: { readonly only?: readonly string[] } = {},
  files: NearFiles = NO_FILES,
): CodeAction[] {
  const { source } = model;
  const at = { start: toOffset(source, range.start), end: toOffset(source, range.end) };
  const wanted = (kind: string) =>
    !only || only.some((asked) => kind === asked || kind.startsWith(`${asked}.`));
  return [
    ...(wanted("quickfix") ? quickFixes(model, at, files) : []),
    ...(wanted("refactor.extract") ? extraction(model, at.start) : []),
    ...(wanted("refactor.rewrite") ? sorting(model, at.start) : []),
    ...(wanted(FIX_ALL) ? mendingAll(model) : []),
  ];
}

/** What mends comes first, for all findings; what merely allows them after it, and last what they have in common. */
function quickFixes(model: CheckedModel, range: TextRange, files: NearFiles): CodeAction[] {
  const meets = (place: TextRange) => place.start <= range.end && place.end >= range.start;
  // What an order lacks is added from anywhere in it, and before all else.
  const lacks = ({ data }: Finding) =>
    data?.add?.text === "flash" && meets(rangeAt(model.source, data.add.list));
  const own = ownFindings(model);
  const lacking = own.filter(lacks);
  const touched = [...lacking, ...own.filter((finding) => !lacks(finding) && meets(finding.range))];
  const action = (finding: Finding, { title, changes, command }: Fix, preferred = false): CodeAction => ({
    title: sentence(title),
    kind: "quickfix",
    diagnostics: [toDiagnostic(model, finding)],
    ...(command
      ? { command: { title: sentence(title), command: command.id, arguments: [...command.arguments] } }
      : { edit: toEdit(model, changes) }),
    ...(preferred ? { isPreferred: true } : {}),
  });
  return [
    ...touched.flatMap((finding) => {
      const fixes = [...fixesFor(model, finding), ...fileFixes(model, finding, files)];
      const alone = fixes.filter(({ sure }) => sure).length === 1;
      return fixes.map((fix) => action(finding, fix, fix.sure && alone));
    }),
    ...touched.flatMap((finding) => allowFixes(model, finding).map((fix) => action(finding, fix))),
  ];
}

function extraction(model: Model, offset: number): CodeAction[] {
  const found = extractInk(model, offset);
  return found
    ? [
        {
          title: `Print this colour with an ink of its own, ${found.ink}`,
          kind: "refactor.extract",
          edit: toEdit(model, found.changes),
        },
      ]
    : [];
}

function sorting(model: Model, offset: number): CodeAction[] {
  const [section, setup] = placeAt(model.source, offset).path;
  if (model.source.kind !== "recipe" || section !== "setups" || typeof setup !== "string") return [];
  const steps = stepsOf(fieldsOf(fieldsOf(fieldsOf(model.source.value).setups)[setup]));
  const order = steps && pressOrder(model, steps);
  const changes = order && reorderEntries(model.source, ["setups", setup, "order"], order);
  // Entries that trade places with their like change nothing.
  if (!changes?.some(({ start, end, newText }) => model.source.text.slice(start, end) !== newText)) return [];
  return [
    {
      title: `Put setup ${setup} in the usual print order`,
      kind: "refactor.rewrite",
      edit: toEdit(model, changes),
    },
  ];
}

function mendingAll(model: CheckedModel): CodeAction[] {
  const changes = withoutOverlap(
    ownFindings(model).flatMap((finding) => {
      const sure = fixesFor(model, finding).filter((fix) => fix.sure);
      return sure.length === 1 ? sure : [];
    }),
  );
  return changes.length === 0
    ? []
    : [{ title: "Fix all that has one fix", kind: FIX_ALL, edit: toEdit(model, changes) }];
}

/** Each fix whole or not at all; what is left out can be mended in a second run. */
function withoutOverlap(fixes: readonly Fix[]): Change[] {
  const taken: Change[] = [];
  for (const { changes } of fixes) {
    if (changes.every((change) => taken.every((other) => apart(change, other)))) taken.push(...changes);
  }
  return taken.sort((a, b) => a.start - b.start);
}

function apart(a: TextRange, b: TextRange): boolean {
  return (a.end <= b.start || b.end <= a.start) && a.start !== b.start;
}

function ownFindings(model: CheckedModel) {
  return standing(model.findings).filter(({ file }) => file === model.source.file);
}

function toEdit({ uri, source }: Model, changes: readonly Change[]): { changes: Record<string, TextEdit[]> } {
  return {
    changes: {
      [uri]: changes.map((change) => ({ range: toRange(source, change), newText: change.newText })),
    },
  };
}
