import { describe, expect, it } from "vitest";
import { codeLenses } from "../../server/features/code-lenses.ts";
import { resolveRecipe } from "../../server/language/resolve-recipe.ts";
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

  it("tell what plates and setups print otherwise than in the last commit, and nothing else", () => {
    const committed = (text: string) => resolveRecipe(read(text).model.source);
    const changed = (model: ReturnType<typeof read>["model"], before: string) =>
      codeLenses(model, committed(before))
        .filter(({ command }) => command?.title.startsWith("since"))
        .map(({ range, command }) => [textAt(model, range), command?.title]);
    const { model } = read(soundBut("[base, flash, ember]", "[ember, flash, base]"));
    expect(changed(model, model.source.text)).toEqual([]);
    expect(changed(model, `# a comment\n${model.source.text}`)).toEqual([]);
    const now = changed(model, SOUND);
    expect(now.length).toBeGreaterThan(0);
    for (const [, title] of now)
      expect(title).toMatch(/^since the last commit: .*moved from station \d to \d on dark$/);
  });

  it("tell which plates could come nearer, to tune them", () => {
    const { model } = read(SOUND);
    const nearer = new Map([["ember", 0.58]]);
    const told = codeLenses(model, undefined, nearer).filter(
      ({ command }) => command?.command === "platewright.tune",
    );
    expect(told.map(({ range, command }) => [textAt(model, range), command])).toEqual([
      [
        "ember",
        { title: "could come 0.6 nearer", command: "platewright.tune", arguments: [RECIPE, "ember"] },
      ],
    ]);
  });

  it("are data, to be sent as they are", () => {
    const lenses = codeLenses(read(SOUND).model);
    expect(JSON.parse(JSON.stringify(lenses))).toEqual(lenses);
  });
});
