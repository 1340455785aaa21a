import { describe, expect, it } from "vitest";
import { reasonsFor } from "../../../server/features/panel/why.ts";
import { resolveRecipe } from "../../../server/language/resolve-recipe.ts";
import { read } from "../model.ts";

const TEXT = `recipe: 1
artwork: { file: art.png, width: 100 mm }
garments: { black: { colour: "#17171a" } }
inks: { red: { colour: "#d8431f", opacity: 70% }, white: { colour: "#f8f8f4", opacity: 92% } }
plates:
  base: { ink: white, extract: { artwork: opaque } }
  warm:
    ink: red
    extract:
      lightness: [20, 100]
      any:
        - { hue: [350, 60], fade: 10 }
        - { near: "#808080", within: 5 }
  pink: { ink: red, extract: { near: "#ff8080", within: 12 } }
  dark: { ink: red, extract: { lightness: [0, 10] } }
adjust:
  - { plate: warm, region: { rectangle: { from: [0 mm, 0 mm], to: [50 mm, 50 mm] } }, curve: [[0, 0], [100, 90]] }
  - { plate: pink, curve: [[0, 0], [100, 50]] }
merges: [{ fold: pink, into: warm }]
knockouts: [{ from: base, where: warm }]
traps: [{ plate: base, choke: 0.2 mm }]
setups: { dark: { garments: [black], order: [base, warm, dark] } }
`;

function why(plate: string, rgba: readonly [number, number, number, number], x = 10, y = 10) {
  const { model } = read(TEXT);
  return reasonsFor(model, resolveRecipe(model.source), plate, { x, y, rgba }).map(
    ({ says, path, line }) => ({
      says,
      path: path.join("."),
      text: TEXT.split("\n")[line - 1]?.trim().slice(0, 24),
    }),
  );
}

describe("why a plate's ink is here", () => {
  it("names the part of a choice that took the colour, and the region around it", () => {
    expect(why("warm", [216, 67, 31, 255])).toEqual([
      { says: "extract takes this colour, 100 %", path: "plates.warm.extract", text: "extract:" },
      {
        says: "extract takes this colour, 100 %",
        path: "plates.warm.extract.any.0",
        text: "- { hue: [350, 60], fade:".slice(0, 24),
      },
      { says: "warm's tone is adjusted in its region", path: "adjust.0", text: "- { plate: warm, region:" },
    ]);
  });

  it("names no region that does not reach here", () => {
    expect(why("warm", [216, 67, 31, 255], 80, 80).map(({ path }) => path)).not.toContain("adjust.0");
  });

  it("names what was folded in, and how it came there", () => {
    expect(why("warm", [255, 128, 128, 255], 80, 80).slice(-3)).toEqual([
      {
        says: "pink: extract takes this colour, 100 %",
        path: "plates.pink.extract",
        text: "pink: { ink: red, extrac",
      },
      { says: "pink prints on warm's screen", path: "merges.0", text: "merges: [{ fold: pink, i" },
      { says: "pink's tone is adjusted", path: "adjust.1", text: "- { plate: pink, curve: " },
    ]);
  });

  it("names what takes ink away", () => {
    expect(why("base", [128, 128, 128, 255]).map(({ says }) => says)).toEqual([
      "extract takes this colour, 100 %",
      "ink is knocked out where warm prints",
      "its edge is moved by a choke",
    ]);
  });

  it("has nothing to say of a colour that the plate does not take, of what is clear, and of no plate", () => {
    expect(why("dark", [255, 255, 255, 255])).toEqual([]);
    expect(why("warm", [216, 67, 31, 0])).toEqual([]);
    expect(why("nobody", [216, 67, 31, 255])).toEqual([]);
  });
});
