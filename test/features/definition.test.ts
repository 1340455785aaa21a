import { describe, expect, it } from "vitest";
import { definition, documentHighlight, references } from "../../server/features/definition.ts";
import { type Beside, RECIPE, read, SHOP, SOUND, soundBut } from "./model.ts";

const SHELF = "shop: 1\ninks:\n  white: { colour: lab(96 0 2), opacity: 92% }\n";
const OTHER = "file:///jobs/owl.sep.yaml";
/** The sound recipe with an ink in the library. */
const SHELVED = SOUND.replace(/ {2}white: .*\n/, "").replace(
  "recipe: 1\n",
  "recipe: 1\nshop: ../back-lane.shop.yaml\n",
);

describe("the definition", () => {
  const found = (marked: string, beside?: Beside) => {
    const { model, at, ranges } = read(marked, beside);
    return { locations: definition(model, at), expected: ranges.map((range) => ({ uri: RECIPE, range })) };
  };

  it.each([
    ["an ink", soundBut("ink: ember", "ink: em|ber").replace("  ember: { colour", "  «ember»: { colour")],
    [
      "a plate in an order",
      soundBut("flash, ember", "flash, em|ber").replace("  ember: { ink", "  «ember»: { ink"),
    ],
    [
      "a plate to adjust",
      `${soundBut("  ember: { ink", "  «ember»: { ink")}adjust:\n  - { plate: |ember }\n`,
    ],
    [
      "a merge's target",
      `${soundBut("  base: {", "  «base»: {")}merges:\n  - { fold: ember, into: base| }\n`,
    ],
    [
      "a knockout's other plate",
      `${soundBut("  base: {", "  «base»: {")}knockouts:\n  - { from: ember, where: b|ase }\n`,
    ],
    ["a garment", soundBut("[black]", "[b|lack]").replace("  black:", "  «black»:")],
    [
      "a name in quotes",
      soundBut("ink: ember", 'ink: "em|ber"').replace("  ember: { colour", "  «ember»: { colour"),
    ],
    ["a definition itself", soundBut("  dark:", "  «da|rk»:")],
  ])("of %s is its key", (_, marked) => {
    const { locations, expected } = found(marked);
    expect(expected).toHaveLength(1);
    expect(locations).toEqual(expected);
  });

  it("of an ink in the ink library is in the shop file", () => {
    const { model, at } = read(SHELVED.replace("ink: white", "ink: |white"), { shop: SHELF });
    expect(definition(model, at)).toEqual([
      { uri: SHOP, range: { start: { line: 2, character: 2 }, end: { line: 2, character: 7 } } },
    ]);
  });

  it("of an ink in both files is the recipe's", () => {
    const { model, at } = read(soundBut("ink: white", "ink: |white"), { shop: SHELF });
    expect(definition(model, at).map(({ uri }) => uri)).toEqual([RECIPE]);
  });

  it.each([
    ["a flash", soundBut("flash", "fl|ash")],
    ["a name that is not there", soundBut("ink: ember", "ink: em|bar")],
    ["a key of the format", soundBut("width", "wi|dth")],
    ["a comment", soundBut("plates:", "plates: # em|ber")],
  ])("of %s is nowhere", (_, marked) => {
    expect(found(marked).locations).toEqual([]);
  });

  it("of a plate is not the ink of the same name", () => {
    const { locations } = found(soundBut("flash, ember", "flash, em|ber"));
    expect(locations.map(({ range }) => range.start.line)).toEqual([9]);
  });
});

describe("references", () => {
  it("are all uses, with the definition where that is wanted", () => {
    const { model, at, ranges } = read(
      `${soundBut("  ember: { ink", "  «em|ber»: { ink").replace("flash, ember", "flash, «ember»")}traps:\n  - { plate: «ember», choke: 0.1 mm }\n`,
    );
    expect(references(model, at, true).map(({ range }) => range)).toEqual(ranges);
    expect(references(model, at, false).map(({ range }) => range)).toEqual(ranges.slice(1));
  });

  it("of a shelf's ink are in every recipe that has none of its own", () => {
    const own = "file:///jobs/own.sep.yaml";
    const { model, at } = read(SHELF.replace("  white", "  wh|ite"), {
      kind: "shop",
      recipes: { [OTHER]: SHELVED, [own]: SOUND },
    });
    expect(references(model, at, true).map(({ uri }) => uri)).toEqual([SHOP, OTHER]);
  });

  it("of a recipe's own ink are in that recipe alone", () => {
    const { model, at } = read(soundBut("ink: white", "ink: |white"), {
      shop: SHELF,
      recipes: { [OTHER]: SHELVED },
    });
    expect(references(model, at, true).map(({ uri }) => uri)).toEqual([RECIPE, RECIPE]);
  });

  it("of a plate stay out of other recipes", () => {
    const { model, at } = read(soundBut("flash, ember", "flash, |ember"), {
      shop: SHELF,
      recipes: { [OTHER]: SHELVED },
    });
    expect(references(model, at, false).map(({ uri }) => uri)).toEqual([RECIPE]);
  });
});

describe("highlights", () => {
  const READ = 2;
  const WRITE = 3;

  it("show where a name is defined and where it is used", () => {
    const { model, at, ranges } = read(soundBut("  black:", "  «bla|ck»:").replace("[black]", "[«black»]"));
    expect(documentHighlight(model, at)).toEqual([
      { range: ranges[0], kind: WRITE },
      { range: ranges[1], kind: READ },
    ]);
  });

  it("stay in the document", () => {
    const { model, at, ranges } = read(SHELVED.replace("ink: white", "ink: «|white»"), {
      shop: SHELF,
      recipes: { [OTHER]: SHELVED },
    });
    expect(documentHighlight(model, at)).toEqual([{ range: ranges[0], kind: READ }]);
  });

  it("are none beside a name", () => {
    const { model, at } = read(soundBut("recipe", "rec|ipe"));
    expect(documentHighlight(model, at)).toEqual([]);
  });
});
