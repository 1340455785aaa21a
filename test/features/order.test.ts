import { describe, expect, it } from "vitest";
import { codeLenses } from "../../server/features/code-lenses.ts";
import { completion } from "../../server/features/completion/completion.ts";
import { definition } from "../../server/features/definition.ts";
import { documentLinks } from "../../server/features/document-links.ts";
import { hover } from "../../server/features/hover.ts";
import { rename } from "../../server/features/rename.ts";
import { ALL_RULES } from "../../server/rules/all.ts";
import { RECIPE, read, SHOP, SOUND, textAt } from "./model.ts";

const SIZES = `shop: 1
sizes:
  YM: { width: 17 in, height: 22 in }
  2XL: { width: 26 in, height: 31 in }
`;
const order = (text: string) =>
  read(text, { kind: "order", shop: SIZES, recipes: { [RECIPE]: SOUND }, rules: ALL_RULES });
const written = (lines: string, prints = "front: { recipe: moth.sep.yaml, place: front }") =>
  `order: 1\nshop: back-lane.shop.yaml\nprints:\n  ${prints}\nlines:\n  - ${lines}\n`;
const labels = (text: string) => {
  const { model, at } = order(text);
  return completion(model, at).map(({ label }) => label);
};

describe("in an order", () => {
  it("garments of its recipes, sizes of the shop and its own prints are offered", () => {
    expect(labels(written("{ garment: |"))).toEqual(["black"]);
    expect(labels(written("{ garment: black, sizes: { | }, prints: [front] }"))).toEqual(["YM", "2XL"]);
    expect(labels(written("{ garment: black, sizes: { YM: 2, | }, prints: [front] }"))).toEqual(["2XL"]);
    expect(labels(written("{ garment: black, sizes: { YM: 2 }, prints: [|] }"))).toEqual(["front"]);
    expect(labels(written("{ garment: black }", "front: { place: | }"))).toContain("left-chest");
  });

  it("a garment leads to its recipe, a size to the shop file, a print to where it is said", () => {
    const to = (text: string) => {
      const { model, at } = order(text);
      return definition(model, at).map(({ uri }) => uri);
    };
    expect(to(written("{ garment: bl|ack, sizes: { YM: 2 }, prints: [front] }"))).toEqual([RECIPE]);
    expect(to(written("{ garment: black, sizes: { Y|M: 2 }, prints: [front] }"))).toEqual([SHOP]);
    const { model, at } = order(written("{ garment: black, sizes: { YM: 2 }, prints: [fr|ont] }"));
    expect(definition(model, at).map(({ range }) => textAt(model, range))).toEqual(["front"]);
  });

  it("how many garments there are stands above prints and lines, with a way to make them", () => {
    const { model } = order(written("{ garment: black, sizes: { YM: 2, 2XL: 3 }, prints: [front] }"));
    expect(codeLenses(model).map(({ command }) => command)).toEqual([
      { title: "5 garments", command: "" },
      { title: "make the order", command: "platewright.saveOrder", arguments: [model.uri] },
      { title: "5 garments", command: "" },
    ]);
    expect(codeLenses(order("order: 1\n").model)).toEqual([]);
  });

  it("recipes and the shop file are links", () => {
    const { model } = order(written("{ garment: black, sizes: { YM: 2 }, prints: [front] }"));
    const links = documentLinks(model, (path) => `file:///jobs/${path}`);
    expect(links.map(({ target }) => target)).toEqual([
      "file:///jobs/back-lane.shop.yaml",
      "file:///jobs/moth.sep.yaml",
    ]);
  });

  it.each([
    ["{ garment: bl|ack, sizes: { YM: 2 }, prints: [front] }", "**garment black**"],
    ["{ garment: black, sizes: { Y|M: 2 }, prints: [front] }", "17 in × 22 in, laid flat"],
    ["{ garment: black, sizes: { YM: 2, 2XL: 3 }, prints: [fr|ont] }", "5 garments"],
    ["{ gar|ment: black, sizes: { YM: 2 }, prints: [front] }", "Name of the garment"],
  ])("%s tells what it is", (line, part) => {
    const { model, at } = order(written(line));
    expect(JSON.stringify(hover(model, at)?.contents)).toContain(part);
  });

  it.each([
    [
      "{ garment: blak, sizes: { YM: 2 }, prints: [front] }",
      'there is no garment "blak" in its recipes; did you mean "black"?',
    ],
    [
      "{ garment: black, sizes: { XM: 2 }, prints: [front] }",
      'there is no size "XM" in the shop file; did you mean "YM"?',
    ],
    [
      "{ garment: black, sizes: { YM: 2 }, prints: [frnt] }",
      'there is no print "frnt"; did you mean "front"?',
    ],
    [
      "{ garment: black, sizes: { YM: 2 }, prints: [front, front] }",
      "print front stands here twice; take one out",
    ],
    ["{ garment: black, sizes: { YM: 0 }, prints: [front] }", "0 is too small; the least is 1"],
    ["{ garment: black, prints: [front] }", '"sizes" is missing; how many of each size'],
  ])("%s is told in one line", (line, message) => {
    const { model } = order(written(line));
    const said = model.findings.filter(({ rule }) => rule !== "unordered-print");
    expect(said.map((one) => one.message.toLowerCase())).toEqual([message.toLowerCase()]);
  });

  it("a size is renamed with the shop's, by a name of sizes", () => {
    const { model, at } = order(written("{ garment: black, sizes: { Y|M: 2 }, prints: [front] }"));
    const { changes } = rename(model, at, "10-12");
    expect(Object.keys(changes!).sort()).toEqual([SHOP, model.uri].sort());
    expect(() => rename(model, at, "a size")).toThrow('"a size" cannot be a size');
  });

  it("a sound one has nothing to be told", () => {
    expect(
      order(written("{ garment: black, sizes: { YM: 2, 2XL: 3 }, prints: [front] }")).model.findings,
    ).toEqual([]);
  });
});

describe("an order half-written", () => {
  const whole = written("{ garment: black, sizes: { YM: 2, 2XL: 3 }, prints: [front] }");
  const texts = [
    ...Array.from(whole, (_, i) => whole.slice(0, i)),
    ...whole.split("\n").map((_, i, lines) => lines.filter((__, at) => at !== i).join("\n")),
    ...[
      "prints: []",
      "prints: { front: 1 }",
      "lines: {}",
      "lines: [1, { sizes: [] }]",
      "lines: [{ prints: [[]] }]",
    ],
    "order: 1\nprints: { front: { recipe: [], place: {} } }\nlines: [{ garment: {}, sizes: 3, prints: {} }]\n",
  ];

  it("makes no rule and no feature throw, and every finding lies inside of it", () => {
    for (const text of texts) {
      const { model } = order(text);
      for (const { range } of model.findings) {
        expect(range.start).toBeGreaterThanOrEqual(0);
        expect(range.end).toBeLessThanOrEqual(text.length);
      }
      completion(model, text.length);
      for (const at of [0, text.length >> 1, text.length]) {
        hover(model, at);
        definition(model, at);
      }
      documentLinks(model, (path) => path);
    }
  });
});
