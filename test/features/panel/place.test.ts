import { describe, expect, it } from "vitest";
import { panelPlace, panelRange } from "../../../server/features/panel/place.ts";
import { read, SOUND, soundBut, textAt } from "../model.ts";

const MORE = `${SOUND}adjust:
  - plate: ember
    region: { rectangle: { from: [1 mm, 1 mm], to: [2 mm, 2 mm] } }
    curve: [[0, 0], [100, 90]]
  - { plate: base, curve: [[0, 0], [100, 90]] }
`;

describe("what the cursor stands in", () => {
  it.each([
    ["a plate's name", "  em|ber: { ink: ember", { plate: "ember" }],
    ["a plate's block", "extract: { hue: [35|0, 50] }", { plate: "ember" }],
    ["the indentation of a plate's line", "|  ember: { ink: ember", { plate: "ember" }],
    ["a garment", 'black: { col|our: "#17171a" }', { garment: "black" }],
    ["a setup", "  da|rk: { garments", { setup: "dark" }],
    ["a plate in an order", "flash, em|ber]", { setup: "dark", plate: "ember" }],
    ["a flash in an order", "fla|sh, ember]", { setup: "dark", plate: "flash" }],
    ["a region", "rectangle: { fr|om", { plate: "ember", region: 0 }],
    ["an adjustment without one", "{ plate: ba|se, curve", { plate: "base" }],
    ["none of these", "rec|ipe: 1", {}],
  ])("%s", (_what, marked, expected) => {
    const piece = marked.replace("|", "");
    const { model, at } = read(soundBut(piece, marked, MORE));
    expect(panelPlace(model, at)).toEqual(expected);
  });

  it("a setup in a text that is refused, and so has no data", () => {
    const { model, at } = read(soundBut("  dark: {", "  da|rk: { x: *nobody, "));
    expect(model.source.value).toBeUndefined();
    expect(panelPlace(model, at)).toEqual({ setup: "dark" });
  });

  it("nothing of a shop file", () => {
    const { model, at } = read('shop: 1\ninks:\n  wh|ite: { colour: "#ffffff", opacity: 90% }\n', {
      kind: "shop",
    });
    expect(panelPlace(model, at)).toEqual({});
  });
});

it.each([
  [["plates", "ember"], "ember"],
  [["setups", "dark", "order", 1], "flash"],
  [["adjust", 1], "{ plate: base, curve: [[0, 0], [100, 90]] }"],
])("the place of %s is shown from its key or its entry on", (path, text) => {
  const { model } = read(MORE);
  expect(textAt(model, panelRange(model, path))).toBe(text);
});
