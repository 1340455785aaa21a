import { describe, expect, it } from "vitest";
import { prepareRename, RenameError, rename } from "../../server/features/rename.ts";
import { type Beside, edited, open, read, SHOP, SOUND, soundBut, textAt } from "./model.ts";

const SHELF = "shop: 1\ninks:\n  white: { colour: lab(96 0 2), opacity: 92% }\n";
const OTHER = "file:///jobs/owl.sep.yaml";
const SHELVED = SOUND.replace(/ {2}white: .*\n/, "").replace(
  "recipe: 1\n",
  "recipe: 1\nshop: ../back-lane.shop.yaml\n",
);

function renamed(marked: string, newName: string, beside?: Beside): string {
  const { model, at } = read(marked, beside);
  return edited(model, rename(model, at, newName));
}

describe("renaming", () => {
  it("changes the definition and every use, and nothing else of that name", () => {
    expect(
      renamed(
        `${soundBut("flash, ember", "flash, em|ber")}traps:\n  - { plate: ember, choke: 0.1 mm }\n`,
        "fire",
      ),
    ).toBe(
      `${soundBut("  ember: { ink", "  fire: { ink").replace("flash, ember", "flash, fire")}traps:\n  - { plate: fire, choke: 0.1 mm }\n`,
    );
  });

  it("takes quotes off where none are needed", () => {
    expect(renamed(soundBut("[black]", '["bl|ack"]'), "night")).toBe(
      soundBut("[black]", "[night]").replace("  black:", "  night:"),
    );
  });

  it("puts quotes where the name would read as something else", () => {
    expect(renamed(soundBut("[black]", "[bl|ack]"), "null")).toBe(
      soundBut("[black]", '["null"]').replace("  black:", '  "null":'),
    );
  });

  it("changes a scalar once that two aliases lead to", () => {
    const text = `${soundBut("flash, ember]", "flash, &e em|ber]")}  light: { garments: [black], order: [*e, *e] }\n`;
    expect(renamed(text, "fire")).toBe(
      text.replace("|", "").replace("&e ember", "&e fire").replace("  ember: { ink", "  fire: { ink"),
    );
  });

  it("reaches from the ink library into the recipes that use it", () => {
    const { model, at } = read(SHELF.replace("  white", "  wh|ite"), {
      kind: "shop",
      recipes: { [OTHER]: SHELVED },
    });
    const edit = rename(model, at, "paper");
    expect(edited(model, edit)).toBe(SHELF.replace("white", "paper"));
    expect(edited(open(OTHER, SHELVED), edit)).toBe(SHELVED.replace("ink: white", "ink: paper"));
  });

  it("reaches from a recipe to the ink library", () => {
    const { model, at } = read(SHELVED.replace("ink: white", "ink: |white"), { shop: SHELF });
    expect(Object.keys(rename(model, at, "paper").changes ?? {})).toEqual([SHOP, model.uri]);
  });
});

describe("refused", () => {
  it.each([
    ["where there is no name", soundBut("recipe", "rec|ipe"), "x", "there is no name to rename here"],
    ["what is no name", soundBut("[black]", "[bl|ack]"), "a b", /"a b" cannot be a name/],
    [
      "a plate named as a step of the press",
      soundBut("flash, ember", "flash, em|ber"),
      "flash",
      /step of the press/,
    ],
    [
      "a name that is taken",
      soundBut("flash, ember", "flash, em|ber"),
      "base",
      'there is already a plate "base"',
    ],
  ])("is %s", (_, marked, newName, message) => {
    const { model, at } = read(marked);
    expect(() => rename(model, at, newName)).toThrow(RenameError);
    expect(() => rename(model, at, newName)).toThrow(message);
  });

  it("is a shelf's ink whose new name a recipe has for an ink of its own", () => {
    const { model, at } = read(SHELF.replace("  white", "  wh|ite"), {
      kind: "shop",
      recipes: { [OTHER]: SHELVED },
    });
    expect(() => rename(model, at, "ember")).toThrow('there is already an ink "ember"');
  });

  it("is a recipe's ink that would stand before one that the recipe takes from the ink library", () => {
    const { model, at } = read(SHELVED.replace("ink: ember", "ink: |ember"), { shop: SHELF });
    expect(() => rename(model, at, "white")).toThrow(/shelf/);
  });

  it("is not: the same name again", () => {
    expect(renamed(soundBut("[black]", "[bl|ack]"), "black")).toBe(SOUND);
  });

  it("is not: an ink named as a plate is", () => {
    expect(renamed(soundBut("ink: white", "ink: wh|ite"), "base")).toContain("base: { ink: base,");
  });
});

describe("before renaming", () => {
  it("the name is shown, quotes and all", () => {
    const { model, at } = read(soundBut("[black]", '["bl|ack"]'));
    const prepared = prepareRename(model, at);
    expect([textAt(model, prepared?.range), prepared?.placeholder]).toEqual(['"black"', "black"]);
  });

  it.each([
    ["no name", soundBut("recipe", "rec|ipe")],
    ["a name that is defined nowhere", soundBut("ink: ember", "ink: em|bar")],
  ])("nothing is shown at %s", (_, marked) => {
    const { model, at } = read(marked);
    expect(prepareRename(model, at)).toBeUndefined();
  });
});
