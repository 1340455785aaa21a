import { describe, expect, it } from "vitest";
import { soundBut } from "../model.ts";
import { actions } from "./actions.ts";

describe("an ink of its own for a near colour", () => {
  const near = (cursorAt: string, more = "") =>
    soundBut("{ hue: [350, 50] }", `{ near: "${cursorAt}", within: 10${more} }`);

  it("is defined, and printed by the plate", () => {
    const text = near("#7b|8088")
      .replace("  ember: { ink: ember,", "  slate: { ink: ember,")
      .replace("flash, ember", "flash, slate");
    expect(actions(text, "refactor.extract")).toEqual({
      "Print this colour with an ink of its own, slate": text
        .replace("|", "")
        .replace("plates:\n", '  slate: { colour: "#7b8088", opacity: 70% }\nplates:\n')
        .replace("slate: { ink: ember", "slate: { ink: slate"),
    });
  });

  it("gets a name that is free", () => {
    expect(Object.keys(actions(near("#7b|8088"), "refactor.extract"))).toEqual([
      "Print this colour with an ink of its own, ember-2",
    ]);
  });

  it("starts the section where the recipe has none, with the opacity of the ink library's ink", () => {
    const shop =
      "shop: 1\ninks:\n  white: { colour: lab(96 0 2), opacity: 92% }\n  ember: { colour: lab(56 56 56), opacity: 66% }\n";
    const text = near("#7b|8088").replace(/inks:\n(?: {2}.*\n){2}/, "");
    expect(Object.values(actions(text, "refactor.extract", { shop }))).toEqual([
      text
        .replace("|", "")
        .replace("plates:\n", 'inks:\n  ember-2: { colour: "#7b8088", opacity: 66% }\nplates:\n')
        .replace("ink: ember,", "ink: ember-2,"),
    ]);
  });

  it.each([
    [
      "that is left out",
      soundBut("{ hue: [350, 50] }", '{ hue: [350, 50], except: { near: "#7b|8088", within: 4 } }'),
    ],
    ["that is the ink's already", near("#d8|431f")],
    ["of an underbase", near("#7b|8088").replace("ink: ember,", "ink: ember, purpose: underbase,")],
    ["that is a garment's", soundBut("#17171a", "#17|171a")],
    ["that is none", near("#7b|80")],
  ])("is not offered for a colour %s", (_, text) => {
    expect(actions(text, "refactor.extract")).toEqual({});
  });
});
