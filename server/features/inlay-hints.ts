import type { InlayHint, Range } from "vscode-languageserver-types";
import { rangeAt } from "../language/document.ts";
import type { Path } from "../language/finding.ts";
import { blocksOf, fieldsOf } from "../language/partial-data.ts";
import { counted, percentage } from "../language/words.ts";
import { type Model, toOffset, toPosition } from "./model.ts";
import { setupNeeds } from "./press-load.ts";

/** Which hints are wanted. */
export interface HintSettings {
  /** How much of the print each plate covers; needs measurements. */
  readonly coverage: boolean;
  /** Screens and stations of each setup. */
  readonly screens: boolean;
  /** The artwork's resolution at its printed width; needs measurements. */
  readonly resolution: boolean;
}

/** Figures behind the names that they belong to, as far as they lie in `range`. A shop file has none. */
export function inlayHints(model: Model, range: Range, settings: HintSettings): InlayHint[] {
  const { source, measurements } = model;
  if (source.kind !== "recipe") return [];
  const hints: Hint[] = [];
  if (settings.resolution && measurements?.artworkPpi !== undefined)
    hints.push(resolution(model, measurements.artworkPpi));
  if (settings.coverage) hints.push(...coverage(model));
  if (settings.screens) hints.push(...screens(model));
  const [from, to] = [toOffset(source, range.start), toOffset(source, range.end)];
  return hints
    .filter(({ offset }) => offset >= from && offset <= to)
    .map(({ offset, label, tooltip }) => ({
      position: toPosition(source, offset),
      label,
      tooltip,
      paddingLeft: true,
    }));
}

interface Hint {
  readonly offset: number;
  readonly label: string;
  readonly tooltip: string;
}

function coverage(model: Model): Hint[] {
  const plates = fieldsOf(fieldsOf(model.source.value).plates);
  return [...(model.measurements?.plates ?? [])].flatMap(([name, measured]) =>
    // The picture may be older than the text.
    Object.hasOwn(plates, name)
      ? {
          offset: behindKey(model, ["plates", name]),
          label: percentage(measured.coverage, 1),
          tooltip: "mean tone over the whole print",
        }
      : [],
  );
}

function screens(model: Model): Hint[] {
  const stations = fieldsOf(fieldsOf(model.shop?.source.value).press).stations;
  return blocksOf(model.source.value, "setups").flatMap(([name, setup]) => {
    if (!Array.isArray(setup.order)) return [];
    const needs = setupNeeds(model, setup);
    return {
      offset: behindKey(model, ["setups", name]),
      label: `${counted(needs.screens, "screen")}, ${counted(needs.stations, "station")}`,
      tooltip:
        typeof stations === "number"
          ? `the press has ${counted(stations, "station")}`
          : "flashes and cool-downs take a station each",
    };
  });
}

function resolution(model: Model, ppi: number): Hint {
  return {
    offset: rangeAt(model.source, ["artwork", "width"]).end,
    label: `${Math.round(ppi)} ppi`,
    tooltip: "pixels of the artwork to each inch of the print",
  };
}

/** Behind the key's colon, or behind the key where the colon stands apart. */
function behindKey({ source }: Model, path: Path): number {
  const { end } = rangeAt(source, path, "key");
  return source.text[end] === ":" ? end + 1 : end;
}
