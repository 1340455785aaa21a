import { describe, expect, it } from "vitest";
import { codeLenses } from "../../server/features/code-lenses.ts";
import { RECIPE, read, SOUND, soundBut, textAt } from "./model.ts";

describe("lenses", () => {
  it("open the recipe's proof, and that of each setup's first garment, and count its screens", () => {
    const { model } = read(soundBut("[black]", "[black, white]"));
    expect(codeLenses(model).map(({ range, command }) => [textAt(model, range), command])).toEqual([
      ["artwork", { title: "open proof", command: "platewright.openProof", arguments: [RECIPE] }],
      ["dark", { title: "open proof", command: "platewright.openProof", arguments: [RECIPE, "black"] }],
      ["dark", { title: "2 screens", command: "" }],
    ]);
  });

  it("stand at the first line while there is no artwork", () => {
    const { model } = read(soundBut("artwork: { file: art.png, width: 2 in }\n", ""));
    expect(codeLenses(model)[0]?.range.start).toEqual({ line: 0, character: 0 });
  });

  it("open no proof of a setup without garments", () => {
    const { model } = read(soundBut("[black]", "[]"));
    expect(codeLenses(model).map(({ command }) => command?.title)).toEqual(["open proof", "2 screens"]);
  });

  it.each([
    ["a shop file", "shop: 1\n", "shop"],
    ["an empty file", "", "recipe"],
    ["a text", "just words\n", "recipe"],
  ] as const)("are none in %s", (_, text, kind) => {
    expect(codeLenses(read(text, { kind }).model)).toEqual([]);
  });

  it("are data, to be sent as they are", () => {
    const lenses = codeLenses(read(SOUND).model);
    expect(JSON.parse(JSON.stringify(lenses))).toEqual(lenses);
  });
});
