import { describe, expect, it } from "vitest";
import type { DocumentSymbol } from "vscode-languageserver-types";
import { documentSymbols, workspaceSymbols } from "../../server/features/document-symbols.ts";
import { open, read, SOUND, textAt } from "./model.ts";

/** The outline as indented names. */
function outline(symbols: readonly DocumentSymbol[], indent = ""): string[] {
  return symbols.flatMap(({ name, detail, children }) => [
    `${indent}${name}${detail ? ` (${detail})` : ""}`,
    ...outline(children ?? [], `${indent}  `),
  ]);
}

describe("the outline", () => {
  it("shows sections and the named things in them", () => {
    const { model } = read(`${SOUND}merges:\n  - { fold: ember, into: base }\ntraps:\n`);
    expect(outline(documentSymbols(model))).toEqual([
      "recipe (1)",
      "artwork",
      "garments",
      "  black",
      "inks",
      "  white",
      "  ember",
      "plates",
      "  base",
      "  ember",
      "setups",
      "  dark",
      "merges",
      "  fold: ember, into: base",
      "traps",
    ]);
  });

  it("selects the key, inside of what the symbol spans", () => {
    const { model } = read("recipe: 1\nplates:\n  base:\n    ink: white\n\n# then\nsetups: {}\n");
    const plates = documentSymbols(model)[1]!;
    expect(textAt(model, plates.selectionRange)).toBe("plates");
    expect(textAt(model, plates.range)).toBe("plates:\n  base:\n    ink: white");
  });

  it("has a name for what has none", () => {
    expect(outline(documentSymbols(read('"": 1\nlist: [[1], x]\n').model))).toEqual([
      "(nameless) (1)",
      "list",
      "  [0]",
      "  x",
    ]);
  });

  it("ends before it is too long to be one", () => {
    const lines = Array.from({ length: 6000 }, (_, i) => `a${i}: 1\n`).join("");
    expect(documentSymbols(read(lines).model)).toHaveLength(5000);
  });

  it("is empty for an empty file", () => {
    expect(documentSymbols(read("").model)).toEqual([]);
  });
});

describe("names of the workspace", () => {
  const docs = [
    open("file:///a.sep.yaml", SOUND),
    open("file:///b.shop.yaml", "shop: 1\ninks: { emerald: {} }\n"),
  ];
  const found = (query: string) =>
    workspaceSymbols(docs, query).map(
      ({ name, containerName, location }) => `${containerName} ${name} in ${location.uri}`,
    );

  it("hold the query's letters in their order, whatever their case", () => {
    expect(found("EMR")).toEqual([
      "ink ember in file:///a.sep.yaml",
      "plate ember in file:///a.sep.yaml",
      "ink emerald in file:///b.shop.yaml",
    ]);
  });

  it("are all there where nothing is asked", () => {
    expect(found("")).toHaveLength(7);
  });

  it("are none where the letters stand in another order", () => {
    expect(found("rem")).toEqual([]);
  });

  it("lead to the key", () => {
    const [dark] = workspaceSymbols(docs, "dark");
    expect(textAt(docs[0]!, dark?.location.range)).toBe("dark");
  });
});
