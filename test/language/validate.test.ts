import { describe, expect, it } from "vitest";
import { parseDocument } from "../../server/language/document.ts";
import { formatPath } from "../../server/language/finding.ts";
import { validate } from "../../server/language/validate.ts";
import { expectAt, SOUND, soundBut, unmark } from "./documents.ts";
import demo from "./night-garden.ts";

const ADJUST = "adjust:\n  - { plate: ember, curve: [[0, 0], [100, 100]], region: ";
const also = (more: string) => `${SOUND}${more}\n`;

type Mistake = [name: string, marked: string, path: string, message: string | RegExp];

function eachGivesOneFinding(file: string, mistakes: readonly Mistake[]): void {
  it.each(mistakes)("%s", (_, marked, path, message) => {
    const { text, marks } = unmark(marked);
    const doc = parseDocument(file, text);
    expect(doc.findings).toEqual([]);
    const found = validate(doc);
    expect(found.map((f) => `${formatPath(f.path)}: ${f.message}`)).toHaveLength(1);
    expect(found[0]).toMatchObject({ rule: "schema", level: "error", file });
    expectAt(doc, found[0]!, marks[0]!, path, message);
  });
}

describe("a sound recipe has no mistake:", () => {
  it.each([
    ["the small one", SOUND],
    ["the demo", demo],
    ["with CRLF", demo.replaceAll("\n", "\r\n")],
    ["with a byte order mark", `\ufeff${demo}`],
    ["with anchors", soundBut("ink: white", "ink: &w white").replace("ink: ember", "ink: *w")],
  ])("%s", (_, text) => {
    expect(validate(parseDocument("a.sep.yaml", text))).toEqual([]);
  });
});

describe("one mistake in a recipe gives one finding, at its characters:", () => {
  eachGivesOneFinding("a.sep.yaml", [
    [
      "an unknown key, misspelt",
      also("«knockout»: []"),
      "knockout",
      '"knockout" is not known here; did you mean "knockouts"?',
    ],
    [
      "an unknown key, like none",
      soundBut("black: {", "black: { «shade»: dark,"),
      "garments.black.shade",
      '"shade" is not known here; known keys are: colour, fabric, weight, discharged',
    ],
    [
      "a part of a mix that is nothing",
      soundBut("opacity: 70%", "opacity: 70%, mix: { base: «0» }"),
      "inks.ember.mix.base",
      "0 is too small; it must be more than 0",
    ],
    [
      "a required key, misspelt",
      soundBut("black: { colour", "black: { «color»"),
      "garments.black.color",
      '"color" is not known here; did you mean "colour"?',
    ],
    [
      "a required key in capitals",
      soundBut("extract: { artwork", "«Extract»: { artwork"),
      "plates.base.Extract",
      '"Extract" is not known here; did you mean "extract"?',
    ],
    [
      "a key missing from the file",
      SOUND.replace("recipe: 1\n", "").replace(/^.*$/m, "«$&»"),
      "",
      '"recipe" is missing; version of this file format',
    ],
    [
      "a key missing from the file, with CRLF",
      SOUND.replace("recipe: 1\n", "").replace(/^.*$/m, "«$&»").replaceAll("\n", "\r\n"),
      "",
      '"recipe" is missing; version of this file format',
    ],
    [
      "a key missing from a block: at the block's name",
      soundBut("  ember: { ink: ember, ", "  «ember»: { "),
      "plates.ember",
      '"ink" is missing; name of the ink, from this recipe or from the shop\'s ink library',
    ],
    [
      "a key missing from an entry of a list",
      also("merges:\n  - «{ fold: ember }»"),
      "merges[0]",
      '"into" is missing; name of the plate that takes its tones',
    ],
    [
      "a number where text belongs",
      soundBut("ink: white", "ink: «5»"),
      "plates.base.ink",
      "must be text, such as ember; it is a number",
    ],
    [
      "a list where a block belongs: at its key",
      soundBut('{ colour: "#17171a" }', "[1]").replace("black:", "«black»:"),
      "garments.black",
      'must be a block of keys, such as { colour: "#17171a" }; it is a list',
    ],
    [
      "a block where a list belongs: at its key",
      soundBut("garments: [black]", "«garments»: { black: 1 }"),
      "setups.dark.garments",
      "must be a list, such as [black]; it is a block of keys",
    ],
    [
      "text where a number belongs",
      soundBut("[350, 50]", "[350, «fifty»]"),
      "plates.ember.extract.hue[1]",
      /^must be a number, such as .+; it is text$/,
    ],
    [
      "text for a fade",
      soundBut("[350, 50]", "[350, 50], fade: «wide»"),
      "plates.ember.extract.fade",
      "must be a number or a block of keys, such as 12; it is text",
    ],
    [
      "an empty value: at its key",
      soundBut("ink: white", "«ink»:"),
      "plates.base.ink",
      "is empty; write for example ember",
    ],
    [
      "an empty block",
      soundBut("inks:\n", "adjust:\ninks:\n").replace("adjust", "«adjust»"),
      "adjust",
      "is empty; write for example [{ plate: ember, curve: [[0, 0], [40, 55], [100, 100]] }]",
    ],
    [
      "an empty text",
      soundBut("ink: white", 'ink: «""»'),
      "plates.base.ink",
      "is empty; write for example ember",
    ],
    [
      "a colour that YAML takes for a comment",
      soundBut('black: { colour: "#17171a" }', "black:\n    «colour»: #17171a"),
      "garments.black.colour",
      'is empty, since # starts a comment in YAML; write "#17171a" in quotes',
    ],
    [
      "a colour that is none",
      soundBut('"#17171a"', "«black»"),
      "garments.black.colour",
      /^"black" is not a colour; write sRGB as/,
    ],
    [
      "a number for a colour",
      soundBut('"#17171a"', "«171717»"),
      "garments.black.colour",
      /^"171717" is not a colour; write sRGB as/,
    ],
    [
      "a list for a colour: at its key",
      soundBut('colour: "#17171a"', "«colour»: [0, 0, 0]"),
      "garments.black.colour",
      'must be text, such as "#d8431f"',
    ],
    [
      "a share without its sign",
      soundBut("92%", "«0.92»"),
      "inks.white.opacity",
      '"0.92" has no percent sign; write 92%',
    ],
    [
      "a length without its unit",
      soundBut("width: 2 in", "width: «12»"),
      "artwork.width",
      '"12" has no unit; write 12 in, 12 mm or 12 cm',
    ],
    [
      "a decimal comma in block style",
      soundBut("{ file: art.png, width: 2 in }", "\n  file: art.png\n  width: «2,5 in»"),
      "artwork.width",
      '"2,5 in" has a decimal comma; write 2.5 in',
    ],
    [
      "a decimal comma in flow style",
      soundBut("width: 2 in", "width: 2,«5 in»"),
      'artwork."5 in"',
      '"5 in" is not known here; a comma ends a value, so write decimals with a point',
    ],
    [
      "a decimal comma in a percentage in flow style",
      soundBut("92%", "92,«5%»"),
      'inks.white."5%"',
      '"5%" is not known here; a comma ends a value, so write decimals with a point',
    ],
    [
      "a choice that is not there, but near",
      soundBut("ink: white,", "ink: white, purpose: «under-base»,"),
      "plates.base.purpose",
      '"under-base" is not known here; did you mean "underbase"?',
    ],
    [
      "a choice that is like none",
      soundBut("ink: white,", "ink: white, strength: «enormous»,"),
      "plates.base.strength",
      '"enormous" is not known here; choose one of: flat, chroma, lightness, darkness, match',
    ],
    [
      "a curve of strength beyond solid",
      soundBut("ink: white,", "ink: white, strength: { chroma: [[0, 0], [60, «120»]] },"),
      "plates.base.strength.chroma[1][1]",
      "120 is too large; the most is 100",
    ],
    [
      "a block instead of a choice",
      soundBut("ink: white,", "ink: white, «purpose»: { underbase: 1 },"),
      "plates.base.purpose",
      "must be one of colour, underbase, highlight, shadow; it is a block of keys",
    ],
    [
      "a number too large",
      soundBut("hue: [350, 50]", "lightness: [0, «101»]"),
      "plates.ember.extract.lightness[1]",
      "101 is too large; the most is 100",
    ],
    [
      "a number too small",
      soundBut("[350, 50]", "[«-10», 50]"),
      "plates.ember.extract.hue[0]",
      "-10 is too small; the least is 0",
    ],
    [
      "a list too short",
      soundBut("hue: [350, 50]", "«hue»: [350]"),
      "plates.ember.extract.hue",
      "has 1 entry; at least 2 belong here, such as [0, 18]",
    ],
    [
      "a list too long",
      soundBut("hue: [350, 50]", "«hue»: [350, 50, 60]"),
      "plates.ember.extract.hue",
      "has 3 entries; at most 2 belong here, such as [0, 18]",
    ],
    [
      "an empty list",
      soundBut("order: [base, ember]", "«order»: []"),
      "setups.dark.order",
      "has no entries; at least 1 belongs here, such as [base, flash, ember, glint]",
    ],
    [
      "an empty block of keys",
      soundBut("extract: { artwork: opaque }", "«extract»: {}"),
      "plates.base.extract",
      "has no entries; at least one belongs here, such as { hue: [350, 50], chroma: [15, 130], fade: 12 }",
    ],
    [
      "near without within",
      soundBut("extract: { artwork: opaque }", 'extract: { artwork: opaque, near: "#fff" }').replace(
        "extract: { artwork",
        "«extract»: { artwork",
      ),
      "plates.base.extract",
      /^"near" needs "within" beside it; largest colour difference/,
    ],
    [
      "within without near",
      soundBut("extract: { artwork: opaque }", "«extract»: { artwork: opaque, within: 4 }"),
      "plates.base.extract",
      /^"within" needs "near" beside it; a colour/,
    ],
    [
      "a region without a shape",
      also(`${ADJUST}{ feather: 1 mm } }`).replace("region", "«region»"),
      "adjust[0].region",
      "needs exactly one of polygon, rectangle, ellipse",
    ],
    [
      "a region with two shapes",
      also(
        `${ADJUST}{ ellipse: { centre: [1 in, 1 in], radii: [1 in, 1 in] }, rectangle: { from: [0 mm, 0 mm], to: [1 in, 1 in] } } }`,
      ).replace("region", "«region»"),
      "adjust[0].region",
      "needs exactly one of polygon, rectangle, ellipse",
    ],
    [
      "a region's shape, misspelt",
      also(`${ADJUST}{ «elipse»: { centre: [1 in, 1 in], radii: [1 in, 1 in] } } }`),
      "adjust[0].region.elipse",
      '"elipse" is not known here; did you mean "ellipse"?',
    ],
    [
      "a trap without a way",
      also("traps:\n  - «{ plate: base }»"),
      "traps[0]",
      "needs exactly one of choke, spread, neighbours",
    ],
    [
      "a trap both ways",
      also("traps:\n  - «{ plate: base, choke: 0.1 mm, spread: 0.1 mm }»"),
      "traps[0]",
      "needs exactly one of choke, spread, neighbours",
    ],
    [
      "a trap's way, misspelt",
      also("traps:\n  - { plate: base, «choak»: 0.1 mm }"),
      "traps[0].choak",
      '"choak" is not known here; did you mean "choke"?',
    ],
    [
      "a later version",
      soundBut("recipe: 1", "recipe: «2»"),
      "recipe",
      "this file says version 2; this Platewright reads version 1",
    ],
    [
      "a version as text",
      soundBut("recipe: 1", 'recipe: «"1"»'),
      "recipe",
      'this file says version "1"; this Platewright reads version 1',
    ],
    [
      "a merge key",
      soundBut("base: {", "base: &base {").replace("setups:", "  glow: { «<<»: *base }\nsetups:"),
      'plates.glow."<<"',
      "merge keys (<<) are not part of YAML 1.2; use an anchor on each value instead",
    ],
    [
      "a name that cannot be one",
      soundBut("  ember: { ink", "  «2nd»: { ink"),
      "plates.2nd",
      /^"2nd" cannot be a name; start with a letter/,
    ],
    [
      "a path for a name",
      soundBut("  ember: { ink", '  «"../ember"»: { ink'),
      'plates."../ember"',
      /^"\.\.\/ember" cannot be a name/,
    ],
    [
      "a number for a garment",
      soundBut("dark: { garments: [black]", "dark: { garments: [«5»]"),
      "setups.dark.garments[0]",
      /^must be text/,
    ],
    ["no recipe but a word", "«hello»", "", /^must be a block of keys/],
  ]);

  it("a mistake in a shared block is shown where it is written, for each use", () => {
    const { text, marks } = unmark(
      soundBut("extract: { artwork: opaque }", "extract: &e { lightness: [0, «500»] }").replace(
        "extract: { hue: [350, 50] }",
        "extract: *e",
      ),
    );
    const doc = parseDocument("a.sep.yaml", text);
    const found = validate(doc);
    expect(found.map(({ path }) => formatPath(path))).toEqual([
      "plates.base.extract.lightness[1]",
      "plates.ember.extract.lightness[1]",
    ]);
    for (const f of found) expectAt(doc, f, marks[0]!, formatPath(f.path), /too large/);
  });

  it("names of digits are names in a path, not places in a list", () => {
    const doc = parseDocument("a.sep.yaml", soundBut("  base: { ink: white", "  1: { ink: 5"));
    expect(validate(doc).map(({ path }) => formatPath(path))).toEqual(["plates.1", "plates.1.ink"]);
  });

  it("two mistakes give two findings", () => {
    const doc = parseDocument("a.sep.yaml", "recipe: 1\nartwork: {}\ngarments: 1\nplates: 2\nsetups: 3\n");
    expect(validate(doc).map(({ path, message }) => `${formatPath(path)}: ${message.slice(0, 15)}`)).toEqual([
      "artwork: needs exactly o",
      'artwork: "width" is miss',
      "garments: must be a block",
      "plates: must be a block",
      "setups: must be a block",
    ]);
  });

  it("says what a fix would write", () => {
    const data = (text: string) => validate(parseDocument("a.sep.yaml", text)).map((f) => f.data);
    expect(data(also("knockout: []"))).toEqual([{ replacement: "knockouts" }]);
    expect(data(soundBut("recipe: 1\n", ""))).toEqual([{ missing: "recipe" }]);
    expect(data(soundBut('black: { colour: "#17171a" }', "black:\n    colour: #fff"))).toEqual([
      { swallowed: "#fff" },
    ]);
    expect(data(soundBut("92%", "0.92"))).toEqual([undefined]);
  });
});

describe("one mistake in a shop file gives one finding:", () => {
  eachGivesOneFinding("a.shop.yaml", [
    ["no version", "«title: x»\n", "", '"shop" is missing; version of this file format'],
    ["half a station", "shop: 1\npress: { stations: «2.5» }", "press.stations", /^must be a whole number/],
    ["no station", "shop: 1\npress: { stations: «0» }", "press.stations", "0 is too small; the least is 1"],
    [
      "a mesh count without unit",
      "shop: 1\nmeshes: { fine: { count: «225» } }",
      "meshes.fine.count",
      '"225" has no unit; write 225/in or 225/cm',
    ],
    [
      "a ruling in dots",
      "shop: 1\nscreening: { ruling: «45 dpi» }",
      "screening.ruling",
      '"dpi" is not a unit of a ruling; use lpi or l/cm',
    ],
    [
      "a film of lines",
      "shop: 1\nscreening: { film: «1200 lpi» }",
      "screening.film",
      '"lpi" is not a unit of a film resolution; use dpi or d/cm',
    ],
    [
      "a recipe's key",
      "shop: 1\n«plates»: {}",
      "plates",
      '"plates" is not known here; known keys are: shop, title, press, meshes, usual-mesh, inks, card, screening, film, press-notes, ink-use, sizes, calibration-days, rules',
    ],
    [
      "an ink without opacity",
      'shop: 1\ninks:\n  «white»: { colour: "#fff" }\n',
      "inks.white",
      /^"colour" needs "opacity" beside it; contrast ratio/,
    ],
  ]);
});
