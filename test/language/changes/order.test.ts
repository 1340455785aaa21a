import { expect, it } from "vitest";
import { sentence } from "../../../server/language/changes/changes.ts";
import { orderChanges } from "../../../server/language/changes/order.ts";
import { parseDocument } from "../../../server/language/document.ts";
import { resolveOrder } from "../../../server/language/order.ts";

const ORDER = `order: 1
title: Volunteers
due: 2026-06-01
prints:
  front: { recipe: a.sep.yaml, width: 12 in, place: front }
  sleeve: { recipe: b.sep.yaml, place: left-sleeve }
lines:
  - { garment: black, sizes: { M: 24, L: 36 }, prints: [front, sleeve] }
  - { garment: white, sizes: { L: 12 }, prints: [front] }
`;
const order = (text: string) => resolveOrder(parseDocument("a.order.yaml", text));
const said = (from: string, to: string) => {
  expect(ORDER.split(from)).toHaveLength(2);
  const changes = orderChanges(order(ORDER), order(ORDER.replace(from, to)));
  return changes.map((one) => (one.prints ? sentence(one) : `(${sentence(one)})`));
};

it.each([
  ["L: 36", "L: 40", ["black with front, sleeve: size L 36 → 40", "garments in all: 72 → 76"]],
  [
    "L: 36",
    "XL: 36",
    ["black with front, sleeve: size XL 0 → 36", "black with front, sleeve: size L 36 → 0"],
  ],
  ["12 in", "11 in", ["print front: width 12 in → 11 in"]],
  [
    "place: left-sleeve",
    "place: right-sleeve, down: 2 in",
    ["print sleeve: place left-sleeve → right-sleeve", "print sleeve: down 25.4 mm → 50.8 mm"],
  ],
  ["place: front }", "place: front, keep: true }", ["(print front: its screens are kept)"]],
  ["2026-06-01", "2026-05-20", ["(order: due “2026-06-01” → “2026-05-20”)"]],
  [
    "garment: white",
    "garment: brick",
    ["brick with front: new: L 12", "white with front: taken out; it was L 12"],
  ],
  [
    "b.sep.yaml, place: left-sleeve",
    "c.sep.yaml, place: left-sleeve",
    ["print sleeve: recipe b.sep.yaml → c.sep.yaml"],
  ],
])("%s → %s is told", (from, to, sentences) => {
  expect(said(from, to)).toEqual(sentences);
});

it.each([
  ["another notation", "{ M: 24, L: 36 }", "{ L: 36, M: 24 }"],
  ["another order of prints", "[front, sleeve]", "[sleeve, front]"],
  ["what is usual, said", "place: left-sleeve", "place: left-sleeve, down: 1 in"],
  [
    "a line that is split",
    "  - { garment: white, sizes: { L: 12 }, prints: [front] }",
    "  - { garment: white, sizes: { L: 5 }, prints: [front] }\n  - { garment: white, sizes: { L: 7 }, prints: [front] }",
  ],
])("nothing is told of %s", (_, from, to) => {
  expect(said(from, to)).toEqual([]);
});
