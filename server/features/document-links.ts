import type { DocumentLink } from "vscode-languageserver-types";
import { rangeAt } from "../language/document.ts";
import type { Path } from "../language/finding.ts";
import { filesOf, recipePlaces } from "../language/project.ts";
import { readingPlaces } from "../language/readings/reading-files.ts";
import { type Model, toRange } from "./model.ts";

/**
 * The files that a document names, as links: artwork, plates, shop file, readings, an order's recipes. `resolve` makes the URI that a path in this
 * document means, if it is one.
 */
export function documentLinks(model: Model, resolve: (path: string) => string | undefined): DocumentLink[] {
  const readings = readingPlaces(model.source).map(({ path }): Path => [...path, "file"]);
  const pictures = filesOf(model.source).pictures.map(({ path }) => path);
  const recipes = recipePlaces(model.source).map(([print]): Path => ["prints", print, "recipe"]);
  const linked = model.source.kind === "shop" ? readings : [...pictures, ["shop"], ...readings, ...recipes];
  return linked.flatMap((path): DocumentLink[] => {
    const text = path.reduce<unknown>(
      (at, key) => (at as Record<string, unknown> | undefined)?.[key],
      model.source.value,
    );
    if (typeof text !== "string" || text === "") return [];
    const target = resolve(text);
    return target === undefined
      ? []
      : [{ range: toRange(model.source, rangeAt(model.source, path)), target }];
  });
}
