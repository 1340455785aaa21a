import { expect, it } from "vitest";
import { fastLab } from "../../../server/engine/colour/fast-lab.ts";
import { ColourGroups, hexOf } from "../../../server/engine/inspect/colour-groups.ts";
import { random } from "../../property.ts";

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

it("are cells of 10 CIELAB units, each with what is left of the 26 around it, the fullest cell first", () => {
  const next = random(7);
  const groups = new ColourGroups(100, 100);
  const cells = new Map<string, { at: number[]; pixels: number; colours: number[][] }>();
  const lab = new Float64Array(3);
  for (let i = 0; i < 4000; i++) {
    // Dense in one corner, thin elsewhere.
    const [r, g, b] = [next(), next(), next()].map((v) => Math.floor(255 * v ** (i % 3)));
    groups.add(i, r!, g!, b!);
    fastLab(r!, g!, b!, lab);
    const at = Array.from(lab, (v) => Math.round(v / 10) + 0);
    const cell = cells.get(String(at)) ?? { at, pixels: 0, colours: [] };
    cell.pixels++;
    cell.colours.push([r!, g!, b!]);
    cells.set(String(at), cell);
  }
  const left = [...cells.values()].sort(
    (p, q) => q.pixels - p.pixels || p.at[0]! - q.at[0]! || p.at[1]! - q.at[1]! || p.at[2]! - q.at[2]!,
  );
  const wanted: [number, string][] = [];
  while (left.length > 0) {
    const [first] = left;
    const near = left.filter(({ at }) => at.every((v, k) => Math.abs(v - first!.at[k]!) <= 1));
    for (const cell of near) left.splice(left.indexOf(cell), 1);
    const mean = [0, 1, 2].map((c) =>
      Math.round(first!.colours.reduce((sum, rgb) => sum + rgb[c]!, 0) / first!.pixels),
    );
    wanted.push([
      near.reduce((sum, { pixels }) => sum + pixels, 0),
      hexOf(mean as unknown as [number, number, number]),
    ]);
  }
  wanted.sort((p, q) => q[0] - p[0]);
  expect(groups.result().map(({ pixels, rgb }) => [pixels, hexOf(rgb)])).toEqual(wanted);
});
