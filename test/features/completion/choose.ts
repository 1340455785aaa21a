import { TextDocument } from "vscode-languageserver-textdocument";
import type { TextEdit } from "vscode-languageserver-types";
import { completion } from "../../../server/features/completion/completion.ts";
import type { Model } from "../../../server/features/model.ts";

/** The text after one of the offers is chosen and its stops are left as they stand. */
export function choose(model: Model, offset: number, label: string): string {
  const items = completion(model, offset);
  const item = items.find((i) => i.label === label);
  if (!item) throw new Error(`"${label}" is not offered, but ${items.map((i) => i.label).join(", ")}`);
  const edit = item.textEdit as TextEdit;
  const newText = edit.newText
    .replace(/\$\{\d+\|([^,|]*)[^|]*\|\}/g, "$1")
    .replace(/\$\{\d+:((?:[^}\\]|\\.)*)\}|\$\d+/g, "$1")
    .replace(/\\([\\$}])/g, "$1");
  return TextDocument.applyEdits(TextDocument.create("", "", 0, model.source.text), [{ ...edit, newText }]);
}
