import type { SelectionRange } from "vscode-languageserver-types";
import { placesAt } from "../language/cursor.ts";
import type { TextRange } from "../language/finding.ts";
import { type Model, toRange } from "./model.ts";

/** What a growing selection takes in: word, value, key with value, block, … the whole document. */
export function selectionRange(model: Model, offset: number): SelectionRange {
  const { source } = model;
  const steps: TextRange[] = [{ start: 0, end: source.text.length }];
  for (const { key, value, on } of placesAt(source, offset).slice(1)) {
    const start = Math.min(key?.start ?? Number.POSITIVE_INFINITY, value?.start ?? Number.POSITIVE_INFINITY);
    const end = Math.max(key?.end ?? 0, value?.end ?? 0);
    if (start < end) steps.push({ start, end });
    const part = on === "key" ? key : on === "value" ? value : undefined;
    if (part) steps.push(part);
  }
  let selection: SelectionRange | undefined;
  let last: TextRange | undefined;
  for (const step of steps) {
    // Each must lie inside the one before and be smaller than it.
    if (
      last &&
      (step.start < last.start || step.end > last.end || step.end - step.start === last.end - last.start)
    )
      continue;
    const range = toRange(source, step);
    selection = selection ? { range, parent: selection } : { range };
    last = step;
  }
  return selection!;
}
