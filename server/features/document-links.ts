import type { DocumentLink } from "vscode-languageserver-types";
import { rangeAt } from "../language/document.ts";
import type { Path } from "../language/finding.ts";
import { type Model, toRange } from "./model.ts";

const LINKED: readonly Path[] = [["artwork", "file"], ["shop"]];

/** Artwork and shop file of a recipe, as links. `resolve` makes the URI that a path in this document means. */
export function documentLinks(model: Model, resolve: (path: string) => string): DocumentLink[] {
  if (model.source.kind !== "recipe") return [];
  return LINKED.flatMap((path): DocumentLink[] => {
    const text = path.reduce<unknown>(
      (at, key) => (at as Record<string, unknown> | undefined)?.[key],
      model.source.value,
    );
    if (typeof text !== "string" || text === "") return [];
    return [{ range: toRange(model.source, rangeAt(model.source, path)), target: resolve(text) }];
  });
}
