import { expect, it } from "vitest";
import { ColourGroups, hexOf } from "../../../server/engine/inspect/colour-groups.ts";

it("counts much the same colours together, the largest group first", () => {
  const groups = new ColourGroups(10, 10);
  for (let i = 0; i < 30; i++) groups.add(i, 30 + (i % 3), 140, 60);
  for (let i = 30; i < 80; i++) groups.add(i, 200, 40, 40 + (i % 4));
  groups.add(99, 0, 0, 0);
  expect(groups.result().map(({ pixels, rgb }) => [pixels, hexOf(rgb)])).toEqual([
    [50, "#c8282a"],
    [30, "#1f8c3c"],
    [1, "#000000"],
  ]);
});

it("keeps far colours apart, however many there are", () => {
  const groups = new ColourGroups(100, 100);
  let at = 0;
  for (const r of [0, 85, 170, 255])
    for (const g of [0, 85, 170, 255]) for (const b of [0, 85, 170, 255]) groups.add(at++, r, g, b);
  const found = groups.result();
  expect(found.reduce((sum, { pixels }) => sum + pixels, 0)).toBe(64);
  expect(found.length).toBeGreaterThan(40);
});
