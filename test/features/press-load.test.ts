import { expect, it } from "vitest";
import { pressLoad } from "../../server/features/press-load.ts";
import { read, SOUND } from "./model.ts";

it("counts screens and stations of each setup, a folded plate's screen left out", () => {
  const { setups } = pressLoad(read(SOUND).model);
  expect(setups.length).toBeGreaterThan(0);
  const text = `plates: { a: {}, b: {} }\nmerges: [{ fold: b, into: a }]\nsetups: { one: { order: [a, flash, b] }, two: }\n`;
  expect(pressLoad(read(text).model)).toEqual({
    setups: [{ name: "one", screens: 1, stations: 3 }],
  });
});

it("knows the press from the shop file", () => {
  const text = SOUND.replace("recipe: 1", "recipe: 1\nshop: ../back-lane.shop.yaml");
  expect(pressLoad(read(text, { shop: "shop: 1\npress: { stations: 12 }\n" }).model).press).toBe(12);
  expect(pressLoad(read(text, { shop: "shop: 1\npress: { stations: many }\n" }).model)).not.toHaveProperty(
    "press",
  );
});
