import type { Path } from "../../language/finding.ts";
import { flowText } from "../../language/flow-text.ts";
import type { SymbolKind } from "../../language/symbols.ts";
import type { Model } from "../model.ts";
import blockSnippets from "./block-snippets.json" with { type: "json" };
import { escapeSnippet } from "./snippet.ts";
import { namesOf, unfoldedOf } from "./values.ts";

/**
 * Blocks that jobs often have, by the section that they stand in: lines in the protocol's snippet syntax, in which a stop
 * may also be `ink=white`, one of the inks that there are, likewise of plates and garments; `new=base`, a name that is
 * free; or `plates`, all that have a screen.
 */
const BLOCK_SNIPPETS: Readonly<Record<string, readonly BlockSnippet[]>> = blockSnippets;

interface BlockSnippet {
  readonly label: string;
  readonly about: string;
  readonly lines: readonly string[];
}

/** Names that a section defines. */
const DEFINED: Readonly<Record<string, SymbolKind>> = { plates: "plate", inks: "ink", setups: "setup" };

/** What may begin where a block of a section goes, in snippet syntax; `column` is that of its first line. */
export function blockSnippetsAt(
  model: Model,
  path: Path,
  column: number,
): readonly { readonly label: string; readonly about: string; readonly text: string }[] {
  const [section] = path;
  if (path.length !== 1 || typeof section !== "string" || !Object.hasOwn(BLOCK_SNIPPETS, section)) return [];
  const margin = `\n${" ".repeat(column)}`;
  return BLOCK_SNIPPETS[section]!.map(({ label, about, lines }) => ({
    label,
    about,
    text: withNames(model, section, lines.join(margin)),
  }));
}

const NAME_STOP = /(?<=\$\{\d+)(?::(new|ink|plate|garment)=([^}]*)|:plates(?=\}))/g;

function withNames(model: Model, section: string, text: string): string {
  let plates = 0;
  return text.replace(NAME_STOP, (_, kind: SymbolKind | "new" | undefined, usual: string) => {
    if (kind === undefined) return `:${escapeSnippet(unfoldedOf(model, "plate").map(flowText).join(", "))}`;
    if (kind === "new") return `:${free(usual, namesOf(model, DEFINED[section]!))}`;
    const names = kind === "plate" && section !== "adjust" ? unfoldedOf(model, kind) : namesOf(model, kind);
    // A second plate is another one than the first.
    const skipped = kind === "plate" ? plates++ : 0;
    return choice([...names.slice(skipped), ...names.slice(0, skipped)], usual);
  });
}

/** The usual name first where there is one of that name; where there is none at all, it stands in. */
function choice(names: readonly string[], usual: string): string {
  const sorted = names.toSorted((a, b) => Number(b === usual) - Number(a === usual)).map(flowText);
  const [only = usual] = sorted;
  if (sorted.length < 2) return `:${escapeSnippet(only)}`;
  return `|${sorted.map((name) => name.replace(/[\\,|]/g, "\\$&")).join(",")}|`;
}

function free(name: string, taken: readonly string[]): string {
  let found = name;
  for (let i = 2; taken.includes(found); i++) found = `${name}-${i}`;
  return found;
}
