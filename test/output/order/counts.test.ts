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

it("knows the usual places where an order says none", () => {
  const { prints } = resolveOrder(parseDocument("a.order.yaml", ORDER));
  expect(prints.get("front")).toMatchObject({
    downMm: expect.closeTo(76.2, 9),
    acrossMm: 0,
    width: undefined,
  });
  expect(prints.get("sleeve")).toMatchObject({ downMm: 25.4, acrossMm: 0, width: "0.5 in" });
});
