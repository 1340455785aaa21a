import { describe, expect, it } from "vitest";
import { SEMANTIC_LEGEND, semanticTokens } from "../../server/features/semantic-tokens.ts";
import { read, SOUND, textAt } from "./model.ts";

/** `text type` for each token, decoded as the protocol says. */
function tokens(text: string, kind?: "shop"): string[] {
  const { model } = read(text, kind ? { kind } : {});
  const { data } = semanticTokens(model);
  const found: string[] = [];
  let line = 0;
  let character = 0;
  for (let i = 0; i < data.length; i += 5) {
    const [down = 0, right = 0, length = 0, type = 0, modifiers = 0] = data.slice(i, i + 5);
    character = down > 0 ? right : character + right;
    line += down;
    const range = { start: { line, character }, end: { line, character: character + length } };
    const marks = SEMANTIC_LEGEND.tokenModifiers.filter((_, bit) => modifiers & (1 << bit));
    found.push([textAt(model, range), SEMANTIC_LEGEND.tokenTypes[type], ...marks].join(" "));
  }
  return found;
}

describe("tokens", () => {
  it("tell keys, names, choices, numbers and texts apart", () => {
    expect(
      tokens(
        "recipe: 1\ntitle: Moth\nplates:\n  base: { ink: white, purpose: underbase, extract: { near: '#fff', within: 4 } }\n",
      ),
    ).toEqual([
      "recipe property",
      "1 number",
      "title property",
      "Moth string",
      "plates property",
      "base variable declaration",
      "ink property",
      "white variable",
      "purpose property",
      "underbase enumMember",
      "extract property",
      "near property",
      "'#fff' number",
      "within property",
      "4 number",
    ]);
  });

  it("tell a step of the press from a plate", () => {
    expect(tokens("setups:\n  dark: { order: [base, flash] }\n").slice(-2)).toEqual([
      "base variable",
      "flash keyword",
    ]);
  });

  it("take a number with its unit as one", () => {
    expect(tokens("artwork: { width: 12 in }\n").at(-1)).toBe("12 in number");
  });

  it("know the shop file", () => {
    expect(tokens("shop: 1\npress: { stations: 10 }\ninks: { white: {} }\n", "shop")).toEqual([
      "shop property",
      "1 number",
      "press property",
      "stations property",
      "10 number",
      "inks property",
      "white variable declaration",
    ]);
  });

  it("stay on their line", () => {
    expect(tokens("title: one\n  two\nrecipe: 1\n")).toEqual([
      "title property",
      "recipe property",
      "1 number",
    ]);
  });

  it("come in the order of the text, none over another", () => {
    const { data } = semanticTokens(read(SOUND).model);
    for (let i = 5; i < data.length; i += 5) {
      const [down = 0, right = 0] = data.slice(i, i + 2);
      expect(down > 0 ? right >= 0 : right >= data[i - 3]!, `token ${i / 5}`).toBe(true);
    }
    expect(data.length).toBeGreaterThan(200);
  });

  it("are none in an empty file", () => {
    expect(tokens("")).toEqual([]);
  });
});
