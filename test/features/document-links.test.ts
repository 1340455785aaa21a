import { expect, it } from "vitest";
import { documentLinks } from "../../server/features/document-links.ts";
import { read, soundBut, textAt } from "./model.ts";

const resolve = (path: string) => `resolved:${path}`;

it("lead to the artwork and to the shop file", () => {
  const { model } = read(soundBut("recipe: 1\n", "recipe: 1\nshop: '../back lane.shop.yaml'\n"));
  const links = documentLinks(model, resolve).map(({ range, target }) => [textAt(model, range), target]);
  expect(links).toEqual([
    ["art.png", "resolved:art.png"],
    ["'../back lane.shop.yaml'", "resolved:../back lane.shop.yaml"],
  ]);
});

it.each([
  ["an empty path", soundBut("art.png", '""')],
  ["a path that is no text", soundBut("art.png", "7")],
  ["an artwork that is no block", soundBut("{ file: art.png, width: 2 in }", "art.png")],
  ["no artwork", "recipe: 1\nartwork:\n"],
  ["nothing", ""],
])("lead nowhere from %s", (_, text) => {
  expect(documentLinks(read(text).model, resolve)).toEqual([]);
});

it("lead nowhere from a shop file", () => {
  expect(documentLinks(read("shop: elsewhere\n", { kind: "shop" }).model, resolve)).toEqual([]);
});

it("lead to readings, from a recipe and from a shop file", () => {
  const inks = "inks: { ember: { readings: { file: «dd.txt», over-white: a, over-black: b } } }";
  const wedge = "screening: { wedge: { file: «wedge.txt» } }";
  const shop = read(`shop: 1\n${inks}\n${wedge}\n`, { kind: "shop" });
  expect(documentLinks(shop.model, resolve)).toEqual([
    { range: shop.ranges[0], target: resolve("dd.txt") },
    { range: shop.ranges[1], target: resolve("wedge.txt") },
  ]);
  const recipe = read(`recipe: 1\n${wedge}\n`);
  expect(documentLinks(recipe.model, resolve)).toEqual([
    { range: recipe.ranges[0], target: resolve("wedge.txt") },
  ]);
});
