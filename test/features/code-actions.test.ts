import { describe, expect, it } from "vitest";
import { CODE_ACTION_KINDS, codeActions, FIX_ALL } from "../../server/features/code-actions.ts";
import { actions, left } from "./code-actions/actions.ts";
import { cursor, type Marked, read, SOUND, soundBut } from "./model.ts";

describe("mending all", () => {
  const all = (marked: string) => Object.values(actions(marked, FIX_ALL))[0];

  it("takes every fix that is without doubt, and leaves a sound recipe", () => {
    const broken = soundBut("recipe: 1\n", "")
      .replace("width:", "widht:")
      .replace("92%", "0.92")
      .replace("[black]", "[black, black, black]")
      .replace("hue: [350, 50]", "chroma: [90, 15]")
      .replace("ink: white", "ink: whte");
    expect(left(broken)).toHaveLength(7);
    expect(all(broken)).toBe(SOUND.replace("hue: [350, 50]", "chroma: [15, 90]"));
  });

  it("leaves what can be meant in two ways", () => {
    const marked = soundBut("[base, flash, ember]", "[base, flash, base, ember]").replace("2 in", "2");
    expect(all(marked)).toBeUndefined();
  });

  it("leaves an unused ink: it may be about to be used", () => {
    expect(
      all(soundBut("  white: {", '  slate: { colour: "#7b8088", opacity: 70% }\n  white: {')),
    ).toBeUndefined();
  });

  it("writes a word once that several aliases lead to", () => {
    const text = soundBut("ink: white", "ink: &i whte").replace("ink: ember", "ink: *i");
    expect(all(text)).toBe(text.replace("whte", "white"));
  });

  it("leaves the shop file alone", () => {
    const text = soundBut("recipe: 1\n", "recipe: 1\nshop: x.shop.yaml\n");
    expect(actions(text, FIX_ALL, { shop: "shop: 1\npres: { stations: 10 }\n" })).toEqual({});
  });
});

describe("the kinds", () => {
  const marked = soundBut("[black]", "[black, bl|ack]").replace("[base, flash, ember]", "[ember, base]");

  it("that are not asked for are not given", () => {
    const place = read(marked);
    expect(
      codeActions(place.model, cursor(place), { only: ["source.organizeImports", "refactor.inline"] }),
    ).toEqual([]);
  });

  it("that stand above others bring all below them", () => {
    const place = read(marked);
    const kinds = codeActions(place.model, cursor(place), { only: ["refactor", "source"] }).map(
      ({ kind }) => kind,
    );
    expect(kinds).toEqual(["refactor.rewrite", FIX_ALL]);
  });

  it("are all given where none is asked for, each of them announced", () => {
    const place: Marked = read(marked);
    const kinds = codeActions(place.model, cursor(place)).map(({ kind }) => kind ?? "");
    expect(kinds).toEqual(["quickfix", "refactor.rewrite", FIX_ALL]);
    expect(CODE_ACTION_KINDS).toEqual(expect.arrayContaining(kinds));
  });

  it("leave alone what the range does not touch", () => {
    const place = read(marked.replace("|", "").replace("recipe", "re|cipe"));
    expect(codeActions(place.model, cursor(place), { only: ["quickfix", "refactor"] })).toEqual([]);
  });
});
