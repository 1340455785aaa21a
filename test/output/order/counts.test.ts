import { expect, it } from "vitest";
import { parseDocument } from "../../../server/language/document.ts";
import { resolveOrder } from "../../../server/language/order.ts";
import { resolveRecipe } from "../../../server/language/resolve-recipe.ts";
import { countOrder } from "../../../server/output/order/counts.ts";
import { RECIPE } from "../../cli/program.ts";

const ORDER = `order: 1
prints:
  front: { recipe: job.sep.yaml, place: front, keep: true }
  sleeve: { recipe: job.sep.yaml, width: 0.5 in, place: left-sleeve }
lines:
  - { garment: black, sizes: { M: 24, L: 36 }, prints: [front, sleeve] }
  - { garment: brick, sizes: { L: 12 }, prints: [front] }
`;

it("counts garments, impressions, setups and screens", () => {
  const order = resolveOrder(parseDocument("a.order.yaml", ORDER));
  const recipe = resolveRecipe(parseDocument("job.sep.yaml", RECIPE));
  const counts = countOrder(
    order,
    new Map([
      ["front", recipe],
      ["sleeve", recipe],
    ]),
  );
  // 24 + 36 black with two prints each, 12 brick with one; both colours go through one setup of the front.
  expect(counts).toEqual({
    garments: 72,
    impressions: 132,
    setUps: [
      { print: "front", setup: "dark", garments: ["black", "brick"], count: 72, stations: 3, flashes: 1 },
      { print: "sleeve", setup: "dark", garments: ["black"], count: 60, stations: 3, flashes: 1 },
    ],
    screens: [
      { print: "front", plates: ["base", "ember"], keep: true },
      { print: "sleeve", plates: ["base", "ember"], keep: false },
    ],
  });
});

it("adds up a garment's lines, in the recipe's order of setups, and leaves out what no setup prints on", () => {
  const text = ORDER.replace(/lines:[\s\S]*/, "")
    .replace("keep: true", "keep: false")
    .concat(`lines:
  - { garment: brick, sizes: { L: 12 }, prints: [front] }
  - { garment: spare, sizes: { L: 7 }, prints: [front] }
  - { garment: black, sizes: { L: 5 }, prints: [front] }
  - { garment: brick, sizes: { L: 3 }, prints: [front] }
`);
  const order = resolveOrder(parseDocument("a.order.yaml", text));
  const recipe = resolveRecipe(parseDocument("job.sep.yaml", RECIPE));
  const { order: steps, ...setup } = recipe.setups.get("dark")!;
  const setups = new Map([
    ["first", { ...setup, garments: ["black"], order: steps }],
    ["second", { ...setup, garments: ["brick"], order: [{ plate: "ember" }] }],
    ["third", { ...setup, garments: ["brick"], order: steps }],
  ]);
  const counts = countOrder(
    order,
    new Map(["front", "sleeve"].map((print) => [print, { ...recipe, setups }])),
  );
  expect(counts.setUps.map(({ setup: name, garments, count }) => [name, garments, count])).toEqual([
    ["first", ["black"], 5],
    ["second", ["brick"], 15],
  ]);
  expect([counts.garments, counts.impressions]).toEqual([27, 20]);
  // A screen that two setups use is made once; the sleeve is not printed.
  expect(counts.screens).toEqual([
    { print: "front", plates: ["base", "ember"], keep: false },
    { print: "sleeve", plates: [], keep: false },
  ]);
});

it("knows the usual places where an order says none", () => {
  const { prints } = resolveOrder(parseDocument("a.order.yaml", ORDER));
  expect(prints.get("front")).toMatchObject({
    downMm: expect.closeTo(76.2, 9),
    acrossMm: 0,
    width: undefined,
  });
  expect(prints.get("sleeve")).toMatchObject({ downMm: 25.4, acrossMm: 0, width: "0.5 in" });
});
