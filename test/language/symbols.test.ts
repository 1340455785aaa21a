import { describe, expect, it } from "vitest";
import { parseDocument } from "../../server/language/document.ts";
import { formatPath } from "../../server/language/finding.ts";
import { symbolsOf } from "../../server/language/symbols.ts";
import { SOUND, soundBut, unmark } from "./documents.ts";

function namesIn(text: string, file = "a.sep.yaml"): { defined: string[]; used: string[] } {
  const { definitions, references } = symbolsOf(parseDocument(file, text));
  const shown = (s: { kind: string; name: string; path: readonly (string | number)[] }) =>
    `${s.kind} ${s.name} @ ${formatPath(s.path)}`;
  return { defined: definitions.map(shown), used: references.map(shown) };
}

describe("names", () => {
  it("are defined by keys and used by values", () => {
    expect(namesIn(SOUND)).toEqual({
      defined: [
        "garment black @ garments.black",
        "ink white @ inks.white",
        "ink ember @ inks.ember",
        "plate base @ plates.base",
        "plate ember @ plates.ember",
        "setup dark @ setups.dark",
      ],
      used: [
        "ink white @ plates.base.ink",
        "ink ember @ plates.ember.ink",
        "garment black @ setups.dark.garments[0]",
        "plate base @ setups.dark.order[0]",
        "plate ember @ setups.dark.order[1]",
      ],
    });
  });

  it("are used by adjustments, merges, knockouts and traps", () => {
    const text = `adjust: [{ plate: a }]
merges: [{ fold: b, into: c }]
knockouts: [{ from: d, where: e }]
traps: [{ plate: f }]
`;
    expect(namesIn(text).used).toEqual([
      "plate a @ adjust[0].plate",
      "plate b @ merges[0].fold",
      "plate c @ merges[0].into",
      "plate d @ knockouts[0].from",
      "plate e @ knockouts[0].where",
      "plate f @ traps[0].plate",
    ]);
  });

  it("have the ranges of their own characters, quotes included", () => {
    const { text, marks } = unmark(
      'plates: { «"base"»: { ink: «white» } }\nsetups: { x: { order: [«base»] } }\n',
    );
    const { definitions, references } = symbolsOf(parseDocument("a.sep.yaml", text));
    expect([definitions[0]!.range, ...references.map(({ range }) => range)]).toEqual(marks);
  });

  it("leave flash and cool-down to the press, in an order only", () => {
    const text = "plates: { a: { ink: flash } }\nsetups: { x: { order: [flash, a, cool-down] } }\n";
    expect(namesIn(text).used).toEqual(["ink flash @ plates.a.ink", "plate a @ setups.x.order[1]"]);
  });

  it("of a shop are its inks", () => {
    expect(
      namesIn('shop: 1\ninks:\n  mint: { colour: "#fff", opacity: 5% }\n', "b.shop.yaml").defined,
    ).toEqual(["ink mint @ inks.mint"]);
  });

  it("behind an alias are used where the anchor writes them", () => {
    const { text, marks } = unmark("x: &w «white»\nplates:\n  a: { ink: *w }\n  b: { ink: *w }\n");
    const { references } = symbolsOf(parseDocument("a.sep.yaml", text));
    expect(references.map(({ path, range }) => [formatPath(path), range])).toEqual([
      ["plates.a.ink", marks[0]],
      ["plates.b.ink", marks[0]],
    ]);
  });

  it("in an aliased block are found under each of its uses", () => {
    expect(namesIn("setups:\n  x: &x { order: [a] }\n  y: *x\n").used).toEqual([
      "plate a @ setups.x.order[0]",
      "plate a @ setups.y.order[0]",
    ]);
  });

  it.each([
    ["a name being typed", "plates:\n  em", [], []],
    ["a plate without a body", "plates:\n  ember:\n", ["plate ember @ plates.ember"], []],
    [
      "an order being typed",
      "setups:\n  x:\n    order: [base, ",
      ["setup x @ setups.x"],
      ["plate base @ setups.x.order[0]"],
    ],
    ["a list where a block belongs", "plates: [a, b]\n", [], []],
    ["numbers for names", "plates: { a: { ink: 5 } }\n", ["plate a @ plates.a"], []],
    ["a block for a name", "plates: { a: { ink: { b: c } } }\n", ["plate a @ plates.a"], []],
    ["an entry that is no block", "merges: [rose, { fold: a }, null]\n", [], ["plate a @ merges[1].fold"]],
    ["a file that holds itself", "plates: &p\n  a: *p\n", [], []],
    ["nothing", "", [], []],
  ] as const)("of a half-written recipe: %s", (_, text, defined, used) => {
    expect(namesIn(text)).toEqual({ defined, used });
  });

  it.each(["constructor", "toString", "__proto__"])("are not defined under %s", (key) => {
    expect(namesIn(`${key}: { a: { ink: b } }\n`)).toEqual({ defined: [], used: [] });
  });

  it("stay quick where a long recipe has many aliases", () => {
    const plates = Array.from({ length: 2000 }, (_, i) => `  p${i}: { ink: *w }\n`).join("");
    const text = soundBut("ink: white", "ink: &w white").replace("setups:", `${plates}setups:`);
    const doc = parseDocument("a.sep.yaml", text);
    const begin = performance.now();
    expect(symbolsOf(doc).references.filter(({ name }) => name === "white")).toHaveLength(2001);
    expect(performance.now() - begin).toBeLessThan(1000);
  });
});
