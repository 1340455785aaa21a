import { describe, expect, it } from "vitest";
import { completion } from "../../../server/features/completion/completion.ts";
import type { Model } from "../../../server/features/model.ts";
import { parseDocument } from "../../../server/language/document.ts";
import { assembleProject } from "../../../server/language/project.ts";
import { symbolsOf } from "../../../server/language/symbols.ts";
import { checkProject } from "../../../server/rules/check.ts";
import { choose as chosen } from "./choose.ts";

const SHOP = 'shop: 1\ninks:\n  gold: { colour: "#f3b123", opacity: 74% }\n';

/** A recipe with everything that has a name; sections are added behind it. */
const BASE = `recipe: 1
shop: workshop.shop.yaml
artwork: { file: moth.png, width: 12 in }
garments: { black: { colour: "#17171a" }, white: { colour: "#f4f3ef" } }
inks:
  ember: { colour: "#d8431f", opacity: 70% }
plates:
  base: { ink: ember, purpose: underbase, extract: { artwork: opaque } }
  rose: { ink: ember, extract: { artwork: opaque } }
  ember: { ink: ember, extract: { artwork: opaque } }
merges:
  - { fold: rose, into: ember }
`;

function open(uri: string, text: string) {
  const source = parseDocument(uri, text);
  return { uri, source, symbols: symbolsOf(source) };
}

function modelOf(marked: string): { model: Model; offset: number } {
  const offset = marked.indexOf("|");
  const text = marked.replace("|", "");
  const shop = open("workshop.shop.yaml", SHOP);
  const model: Model = {
    ...open("moth.sep.yaml", text),
    shop,
    recipes: [],
    measurements: undefined,
  };
  return { model, offset };
}

function offers(marked: string) {
  const { model, offset } = modelOf(marked);
  return completion(model, offset);
}

/** What is offered at the `|`, in the order shown. */
function labels(marked: string): string[] {
  return offers(marked)
    .toSorted((a, b) => (a.sortText ?? "").localeCompare(b.sortText ?? ""))
    .map(({ label }) => label);
}

/** The text after one of the offers is chosen and its stops are left as they stand. */
function choose(marked: string, label: string): string {
  const { model, offset } = modelOf(marked);
  return chosen(model, offset, label);
}

describe("keys", () => {
  it("come with the required ones first, and not those that are there", () => {
    expect(labels("|").slice(0, 5)).toEqual(["recipe", "artwork", "garments", "plates", "setups"]);
    expect(labels(`${BASE}|`)).toContain("setups");
    expect(labels(`${BASE}|`)).not.toContain("plates");
  });

  it("leave out what stands beside them in brackets", () => {
    expect(labels("plates: { a: { ink: x, | } }")).not.toContain("ink");
    expect(labels("plates: { a: { ink: x, | } }")).toContain("extract");
  });

  it("bring what belongs to them", () => {
    expect(choose("|", "artwork")).toBe("artwork: { file: night-garden.svg, width: 12 in }");
    expect(choose(`${BASE}|`, "knockouts")).toBe(`${BASE}knockouts:\n  - { from: , where:  }`);
    expect(choose("plates:\n  a:\n    stre|", "strength")).toBe("plates:\n  a:\n    strength: flat");
  });

  it("replace only the word where the colon is there already", () => {
    expect(choose("plates:\n  a:\n    in|: x", "ink")).toBe("plates:\n  a:\n    ink: x");
  });

  it("are offered in an entry of a list", () => {
    expect(labels(`${BASE}adjust:\n  - |`)).toEqual(["plate", "curve", "region", "lesson"]);
  });
});

describe("values", () => {
  it.each([
    ["an enumeration", "screening: { method: | }", ["am", "fm", "diffusion"]],
    [
      "words, and a block in their place",
      "plates: { a: { strength: | } }",
      [
        "flat",
        "chroma",
        "lightness",
        "darkness",
        "match",
        "{ lightness: [[0, 100], [60, 40]], chroma: [[0, 0], [80, 100]] }",
      ],
    ],
    ["the version", "recipe: |", ["1"]],
    [
      "a plate's ink, from the recipe and from the ink library",
      BASE.replace("merges:", "  x: { ink: |\nmerges:"),
      ["ember", "gold"],
    ],
    [
      "an order: plates not yet in it and not folded, and the press's steps",
      `${BASE}setups: { dark: { order: [base, |] } }`,
      ["ember", "flash", "cool-down"],
    ],
    [
      "an order on lines of its own",
      `${BASE}setups:\n  dark:\n    order:\n      - base\n      - |`,
      ["ember", "flash", "cool-down"],
    ],
    ["garments not yet in the setup", `${BASE}setups: { dark: { garments: [black, |] } }`, ["white"]],
    ["garments not yet solved for", `${BASE}solve: { garments: { black: 1, | } }`, ["white"]],
    ["units of a number", "artwork: { width: 12| }", ["12 in", "12 mm", "12 cm"]],
    ["units of a ruling", "screening:\n  ruling: 45|", ["45 lpi", "45 l/cm"]],
  ])("%s", (_what, text, expected) => {
    expect(labels(text)).toEqual(expected);
  });

  it("are ranges of hue by the names of colours", () => {
    expect(choose("plates: { a: { extract: { hue: | } } }", "[15, 65]")).toBe(
      "plates: { a: { extract: { hue: [15, 65] } } }",
    );
  });

  it("keep a colour in quotes", () => {
    expect(choose('garments: { a: { colour: "#|" } }', "#17171a")).toBe(
      'garments: { a: { colour: "#17171a" } }',
    );
    expect(choose("garments: { a: { colour: | } }", "#17171a")).toBe(
      'garments: { a: { colour: "#17171a" } }',
    );
  });
});

describe("inks and garments", () => {
  const of = (marked: string, label: string) => offers(marked).find((offer) => offer.label === label);

  it("are shown with their colours", () => {
    const text =
      'recipe: 1\ngarments:\n  black: { colour: "#17171a" }\ninks:\n  ember: { colour: "#d8431f", opacity: 70% }\n';
    expect(of(`${text}plates:\n  base: { ink: | }\n`, "ember")).toMatchObject({
      kind: 16,
      documentation: "#d8431f",
    });
    expect(of(`${text}setups:\n  dark: { garments: [|] }\n`, "black")).toMatchObject({
      kind: 16,
      documentation: "#17171a",
    });
  });
});

describe("whole blocks", () => {
  it("make a plate, a setup, an entry", () => {
    expect(choose("plates:\n  |", "new plate")).toBe("plates:\n  plate: { ink: , extract: {  } }");
    expect(choose("setups:\n  |", "new setup")).toBe("setups:\n  setup: { garments: [], order: [] }");
    expect(choose("merges:\n  |", "- new merge")).toBe("merges:\n  - { fold: , into:  }");
  });

  it("make a recipe that lacks only what a separator must say", () => {
    let text = "";
    for (const key of ["recipe", "artwork", "garments", "inks", "plates", "setups"])
      text = `${choose(`${text}|`, key)}\n`;
    text = choose(text.replace("garments:\n  \n", "garments:\n  |\n"), "new garment").replace(
      "garment:",
      "black:",
    );
    text = choose(text.replace("inks:\n  \n", "inks:\n  |\n"), "new ink").replace("ink:", "ember:");
    text = choose(text.replace("plates:\n  \n", "plates:\n  |\n"), "new plate").replace(
      "{ ink: , extract: {  } }",
      "{ ink: |, extract: { artwork: opaque } }",
    );
    text = choose(text, "ember");
    text = choose(text.replace("setups:\n  \n", "setups:\n  |\n"), "new setup").replace(
      "garments: []",
      "garments: [|]",
    );
    text = choose(text, "black").replace("order: []", "order: [|]");
    text = choose(text, "plate");
    const doc = parseDocument("new.sep.yaml", text);
    // What is left is what the trade would say of one ink on a black garment.
    const found = checkProject(assembleProject(doc, undefined, true));
    expect(found.map(({ rule }) => rule)).toEqual(["missing-underbase"]);
  });
});

it("indents by itself, so an editor must not do it again", () => {
  // InsertTextMode.asIs of the protocol.
  expect(offers("|").map(({ insertTextMode }) => insertTextMode)).toEqual(offers("|").map(() => 1));
  expect(offers("|").length).toBeGreaterThan(5);
});

it("works where the text is no YAML", () => {
  expect(labels("a: [1, 2\nplates:\n  x: { ink: y\nscreening: { dot: |")).toContain("round");
});

describe("in a shop file", () => {
  const inShop = (marked: string) => {
    const offset = marked.indexOf("|");
    const model: Model = {
      ...open("my.shop.yaml", marked.replace("|", "")),
      shop: undefined,
      recipes: [],
      measurements: undefined,
    };
    return completion(model, offset).map(({ label }) => label);
  };

  it("rules are offered by their ids, but for those that stay errors and those that are there", () => {
    const offered = inShop("shop: 1\nrules:\n  close-inks: off\n  |\n");
    expect(offered).toContain("near-empty-plate");
    expect(offered).not.toContain("close-inks");
    expect(offered).not.toContain("unknown-name");
  });

  it("levels of rules, and names of meshes, are offered as values", () => {
    expect(inShop("shop: 1\nrules:\n  close-inks: |\n")).toEqual(["error", "warning", "note", "off"]);
    expect(inShop("shop: 1\nmeshes: { fine: { count: 225/in } }\nusual-mesh: { colour: | }\n")).toEqual([
      "fine",
    ]);
  });
});
