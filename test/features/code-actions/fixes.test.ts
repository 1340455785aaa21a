import { describe, expect, it } from "vitest";
import { codeActions } from "../../../server/features/code-actions.ts";
import { TEMPLATES } from "../../../server/features/templates.ts";
import { cursor, read, SOUND, soundBut } from "../model.ts";
import { BLOCKS, fixes, left, preferred } from "./actions.ts";

describe("an empty file", () => {
  it("becomes the outline of a recipe, comments kept", () => {
    // The artwork is asked for by the editor.
    expect(fixes("|")).toEqual({
      "Write the outline of a recipe": TEMPLATES.recipe,
      "Start from an artwork…": "",
    });
    const [text] = Object.values(fixes("|# for the summer fair"));
    expect(text).toBe(`# for the summer fair\n${TEMPLATES.recipe}`);
  });
});

describe("a misspelt word", () => {
  it("is replaced where it is a key", () => {
    expect(fixes(soundBut("width:", "wi|dht:"))).toEqual({ "Write width": SOUND });
  });

  it("is replaced where it is one of few values", () => {
    expect(fixes(soundBut("underbase", "under|bse"))).toEqual({ "Write underbase": SOUND });
  });

  it("is replaced where it is a name, in quotes or not", () => {
    expect(fixes(soundBut("[base, flash, ember]", '[base, flash, "emb|r"]'))).toEqual({
      "Write ember": SOUND,
    });
  });

  it("is replaced by each of the names that come equally near, none of them preferred", () => {
    const marked = soundBut(
      "ink: ember",
      "ink: t|in",
      soundBut(
        "  white: {",
        "  tan: { colour: lab(60 4 20), opacity: 70% }\n  ten: { colour: lab(61 4 20), opacity: 70% }\n  white: {",
      ),
    );
    expect(Object.keys(fixes(marked))).toEqual(["Write tan", "Write ten"]);
    expect(preferred(marked)).toEqual([]);
  });

  it("is left alone where the key that it comes near stands beside it", () => {
    expect(fixes(soundBut("width: 2 in", "width: 2 in, wi|dht: 3 in"))).toEqual({});
  });

  it("is preferred only where no other word is misspelt for the same", () => {
    expect(preferred(soundBut("width: 2 in", "wi|dht: 2 in, widthh: 3 in"))).toEqual([]);
  });

  it("is preferred where one word alone comes near", () => {
    expect(preferred(soundBut("ink: ember", "ink: em|bar"))).toEqual(["Write ember"]);
  });

  it("names the step of the press that was meant", () => {
    expect(fixes(soundBut("[base, flash, ember]", "[base, fl|ush, ember]"))["Write flash"]).toBe(SOUND);
  });

  it("carries the diagnostic that it mends", () => {
    const place = read(soundBut("width:", "wi|dht:"));
    const [action] = codeActions(place.model, cursor(place), { only: ["quickfix"] });
    expect(action?.diagnostics).toMatchObject([{ code: "schema", source: "platewright" }]);
  });
});

describe("a missing key", () => {
  it("is added in brackets, in its usual place, with an example", () => {
    expect(fixes(soundBut("artwork: { file: art.png, width", "art|work: { width"))).toEqual({
      "Add file: night-garden.svg": soundBut("art.png", "night-garden.svg"),
      "Add made-of: plates": soundBut("file: art.png", "made-of: plates"),
    });
  });

  it("is added on a line of its own in a block", () => {
    expect(fixes(soundBut("  width: 2 in\n", "", BLOCKS).replace("artwork", "art|work"))).toEqual({
      "Add width: 12 in": BLOCKS.replace("2 in", "12 in"),
    });
  });

  it("is added to the file, in its usual place", () => {
    expect(fixes(soundBut("recipe: 1\n", "|"))).toEqual({ "Add recipe: 1": SOUND });
  });

  it("gets the ink named like the plate", () => {
    expect(fixes(soundBut("ember: { ink: ember, ", "em|ber: { "))).toEqual({ "Add ink: ember": SOUND });
  });

  it("gets an ink in the library where the recipe has none", () => {
    const text = soundBut("ember: { ink: ember, ", "em|ber: { ").replace(/inks:\n(?: {2}.*\n){2}/, "");
    const shop = "shop: 1\ninks: { white: { colour: lab(96 0 2), opacity: 92% } }\n";
    expect(Object.keys(fixes(text, { shop }))).toEqual(["Add ink: white"]);
  });

  it("gets every plate in the usual order where it is a setup's order", () => {
    const text = soundBut(", order: [base, flash, ember]", "").replace("  dark:", "  da|rk:");
    expect(fixes(text)).toEqual({ "Add order: [base, flash, ember]": SOUND });
  });

  it("gets a garment that exists", () => {
    expect(fixes(soundBut("garments: [black], ", "").replace("  dark:", "  da|rk:"))).toEqual({
      "Add garments: [black]": SOUND,
    });
  });

  it("gets a plate other than the one beside it", () => {
    const text = `${SOUND}knockouts:\n  - |{ from: base }\n`;
    expect(fixes(text)["Add where: ember"]).toBe(`${SOUND}knockouts:\n  - { from: base, where: ember }\n`);
  });

  it("is one of two where one belongs", () => {
    const text = `${SOUND}traps:\n  - |{ plate: base }\n`;
    expect(fixes(text)).toEqual({
      "Add choke: 0.3 mm": `${SOUND}traps:\n  - { plate: base, choke: 0.3 mm }\n`,
      "Add spread: 0.15 mm": `${SOUND}traps:\n  - { plate: base, spread: 0.15 mm }\n`,
      "Add neighbours: 0.15 mm": `${SOUND}traps:\n  - { plate: base, neighbours: 0.15 mm }\n`,
    });
  });

  it("stands beside what needs it", () => {
    const text = soundBut("{ hue: [350, 50] }", '{ near: "#d8431f" }').replace(
      "extract: { near",
      "ext|ract: { near",
    );
    expect(fixes(text)).toEqual({
      "Add within: 10": soundBut("{ hue: [350, 50] }", '{ near: "#d8431f", within: 10 }'),
    });
  });
});

it("keeps one of two keys where only one may stand", () => {
  const text = `${SOUND}traps:\n  - |{ plate: base, choke: 0.3 mm, spread: 0.1 mm }\n`;
  expect(fixes(text)).toEqual({
    "Keep choke, take out spread": `${SOUND}traps:\n  - { plate: base, choke: 0.3 mm }\n`,
    "Keep spread, take out choke": `${SOUND}traps:\n  - { plate: base, spread: 0.1 mm }\n`,
  });
});

describe("a colour that # made a comment of", () => {
  it("is put in quotes, the comment behind it stays", () => {
    const text = soundBut('  black: { colour: "#17171a" }', "  black:\n    col|our: #17171a # deep");
    expect(fixes(text)).toEqual({
      "Put #17171a in quotes": soundBut(
        '  black: { colour: "#17171a" }',
        '  black:\n    colour: "#17171a" # deep',
      ),
    });
  });

  it("is put in quotes where it swallowed the closing bracket too", () => {
    expect(fixes(soundBut('{ colour: "#17171a" }', "{ col|our: #17171a }"))["Put #17171a in quotes"]).toBe(
      SOUND,
    );
  });
});

describe("a value that is nearly one", () => {
  it.each([
    ["a share without its sign", "92%", "0.9|2"],
    ["a percentage in words", "92%", "92 per|cent"],
    ["a length in words", "2 in", "2 inc|hes"],
    ["a unit in capitals", "2 in", "2 I|N"],
    ["a decimal comma in quotes", "2 in", '"2|,0 in"'],
  ])("is written properly: %s", (_, proper, wrong) => {
    const [[title, text] = []] = Object.entries(fixes(soundBut(proper, wrong)));
    expect(title).toBe(`Write ${proper.replace("2 in", wrong.includes(",") ? "2.0 in" : "2 in")}`);
    expect(left(text ?? "")).toEqual([]);
  });

  it("gets a decimal point in brackets, where the comma split it in two", () => {
    expect(fixes(soundBut("width: 2 in", "width: 12,|5 in"))).toEqual({
      "Write 12.5 in": soundBut("width: 2 in", "width: 12.5 in"),
    });
  });

  it("gets each unit to choose from where it has none", () => {
    expect(Object.keys(fixes(soundBut("width: 2 in", "width: 1|2")))).toEqual([
      "Write 12 in",
      "Write 12 mm",
      "Write 12 cm",
    ]);
  });

  it("gets its # in quotes", () => {
    expect(fixes(soundBut('"#17171a"', "1717|1a"))["Write #17171a"]).toBe(SOUND);
  });

  it("is left alone where nothing known comes near", () => {
    expect(fixes(soundBut("2 in", "wi|de"))).toEqual({});
  });
});

describe("a plate in no order", () => {
  const without = BLOCKS.replace("      - sand\n", "")
    .replace(", sand]", "]")
    .replace("  sand: { ink", "  sa|nd: { ink");

  it("is printed in one setup or in all, before the highlight", () => {
    const text = without.replace("|", "");
    const onBlack = text.replace("      - glint\n", "      - sand\n      - glint\n");
    expect(fixes(without)).toEqual({
      "Print it in setup on-black": onBlack,
      "Print it in setup on-white": text.replace("[dark, ember]", "[dark, ember, sand]"),
      "Print it in every setup": onBlack.replace("[dark, ember]", "[dark, ember, sand]"),
    });
  });

  it.each([
    ["in front, where it is an underbase", "base", "[ember]", "[base, ember]"],
    ["last, where it is a highlight", "glint", "[base, ember]", "[base, ember, glint]"],
    [
      "before the highlight's flash",
      "ember",
      "[base, sand, flash, glint]",
      "[base, sand, ember, flash, glint]",
    ],
    ["behind the underbase's flash", "ember", "[base, flash, glint]", "[base, flash, ember, glint]"],
  ])("goes %s", (_, plate, order, expected) => {
    const setups = (list: string) =>
      BLOCKS.replace(/setups:[\s\S]*/, `setups:\n  one: { garments: [black, white], order: ${list} }\n`);
    const marked = setups(order).replace(
      `  ${plate}: { ink: ${plate === "ember" ? "ember" : "white"},`,
      (all) => all.replace(":", "|:"),
    );
    expect(fixes(marked)["Print it in setup one"]).toBe(setups(expected));
  });
});

it("prints on a garment that no setup had", () => {
  const text = soundBut("  black: {", '  wh|ite: { colour: "#fff" }\n  black: {');
  expect(fixes(text)).toEqual({
    "Print on it with setup dark": text.replace("|", "").replace("[black]", "[black, white]"),
  });
});

describe("what is said twice", () => {
  it("is taken out of a list", () => {
    expect(fixes(soundBut("[black]", "[black, bl|ack]"))).toEqual({ "Take out the repetition": SOUND });
  });

  it("is taken out of a block", () => {
    const text = `${SOUND}knockouts:\n  - { from: base, where: ember } # once\n  - |{ from: base, where: ember } # twice\n`;
    expect(fixes(text)).toEqual({
      "Take out the repetition": `${SOUND}knockouts:\n  - { from: base, where: ember } # once\n`,
    });
  });

  it("is preferred to go where it says the very same", () => {
    expect(preferred(soundBut("[black]", "[black, bl|ack]"))).toEqual(["Take out the repetition"]);
  });

  it("is not preferred to go where a second screen may be meant", () => {
    expect(preferred(soundBut("[base, flash, ember]", "[base, flash, ba|se, ember]"))).toEqual([]);
  });

  it("is not preferred to go where the two differ", () => {
    expect(
      preferred(`${SOUND}traps:\n  - { plate: base, choke: 0.1 mm }\n  - { plate: ba|se, choke: 0.2 mm }\n`),
    ).toEqual([]);
  });
});

describe("a folded plate", () => {
  const folding = (order: string) =>
    BLOCKS.replace(/order: \[.*\]/, `order: ${order}`).replace("      - ember # wet-on-wet\n", "");
  const MERGE = "merges:\n  - { fold: ember, into: sand }\n";

  it("makes room for the plate that it went into", () => {
    const text = folding("[dark, em|ber]");
    expect(fixes(text + MERGE)).toEqual({
      "Write sand": folding("[dark, sand]") + MERGE,
      "Give it its own screen: take the merge out": text.replace("|", ""),
    });
  });

  it("goes where that one already prints", () => {
    expect(fixes(folding("[dark, em|ber, sand]") + MERGE)["Take it out: sand already prints here"]).toBe(
      folding("[dark, sand]") + MERGE,
    );
  });

  it("makes room for the end of a chain of merges", () => {
    const chain = "merges:\n  - { fold: ember, into: sand }\n  - { fold: sand, into: dark }\n";
    const order = (list: string) => folding(list).replace("      - sand\n", "");
    expect(fixes(order("[em|ber]") + chain)["Write dark"]).toBe(order("[dark]") + chain);
  });

  it("leads nowhere in a ring", () => {
    const ring = "merges:\n  - { fold: ember, into: sand }\n  - { fold: sand, into: ember }\n";
    expect(Object.keys(fixes(folding("[em|ber]") + ring))).toEqual([
      "Give it its own screen: take the merge out",
    ]);
  });
});

it("swaps the ends of a range", () => {
  expect(fixes(soundBut("hue: [350, 50]", "lightness: [90, |10]"))).toEqual({
    "Write [10, 90]": soundBut("hue: [350, 50]", "lightness: [10, 90]"),
  });
});

describe("an ink that no plate prints", () => {
  it("is taken out", () => {
    const text = soundBut("  white: {", '  sl|ate: { colour: "#7b8088", opacity: 70% }\n  white: {');
    expect(fixes(text)).toEqual({ "Take the ink out": SOUND });
  });

  it("takes the whole section along where it is alone", () => {
    const shop = "shop: 1\ninks: { white: { colour: lab(96 0 2), opacity: 92% } }\n";
    const inks = /inks:\n(?: {2}.*\n){2}/;
    const without = SOUND.replace("ink: ember", "ink: white").replace(inks, "");
    const text = without.replace("plates:", 'inks:\n  sl|ate: { colour: "#7b8088", opacity: 70% }\nplates:');
    expect(fixes(text, { shop })).toEqual({ "Take the ink out": without });
  });

  it("is not spoken of while a plate's ink is misspelt", () => {
    expect(left(soundBut("ink: ember", "ink: embr")).filter((line) => line.startsWith("unused-ink"))).toEqual(
      [],
    );
  });
});
