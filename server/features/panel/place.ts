import type { Range } from "vscode-languageserver-types";
import { placeAt } from "../../language/cursor.ts";
import { rangeAt } from "../../language/document.ts";
import { fieldsOf, listOf } from "../../language/partial-data.ts";
import type { PanelPlace, WirePath } from "../../wire/panel.ts";
import { type Model, toRange } from "../model.ts";

/** What a panel shows of the place at `offset`: the plate, garment, setup or region that it stands in. */
export function panelPlace({ source }: Model, offset: number): PanelPlace {
  if (source.kind !== "recipe") return {};
  const [section, name, list, index] = placeAt(source, withinLine(source.text, offset)).path;
  switch (section) {
    case "plates":
      return typeof name === "string" ? { plate: name } : {};
    case "garments":
      return typeof name === "string" ? { garment: name } : {};
    case "setups": {
      if (typeof name !== "string") return {};
      const { order } = fieldsOf(fieldsOf(fieldsOf(source.value).setups)[name]);
      const step =
        list === "order" && typeof index === "number" && Array.isArray(order) ? order[index] : undefined;
      return { setup: name, ...(typeof step === "string" ? { plate: step } : {}) };
    }
    case "adjust": {
      const fields = listOf(source.value, "adjust").find(([i]) => i === name)?.[1];
      return {
        ...(typeof fields?.plate === "string" ? { plate: fields.plate } : {}),
        ...(typeof name === "number" && fields?.region ? { region: name } : {}),
      };
    }
    default:
      return {};
  }
}

/** The nearest written character of the line: its indentation, and what follows its end, belong to what it says. */
function withinLine(text: string, offset: number): number {
  const start = text.lastIndexOf("\n", offset - 1) + 1;
  const [line = ""] = text.slice(start).split("\n", 1);
  const first = start + line.length - line.trimStart().length;
  return Math.min(Math.max(offset, first), start + line.trimEnd().length);
}

/** Where a place of the recipe's structure stands in the text: a block from its key on. */
export function panelRange({ source }: Model, path: WirePath): Range {
  const key = rangeAt(source, path, "key");
  const value = rangeAt(source, path);
  return toRange(
    source,
    path.length === 0 ? { start: 0, end: 0 } : { start: Math.min(key.start, value.start), end: key.end },
  );
}
