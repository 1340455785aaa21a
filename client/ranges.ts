import { Range } from "vscode";
import type { PanelRange } from "../server/wire/panel.ts";

/** The editor's range of one that was sent. */
export function rangeOf({ start, end }: PanelRange): Range {
  return new Range(start.line, start.character, end.line, end.character);
}
