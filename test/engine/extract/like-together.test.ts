import { expect, it } from "vitest";
import { DescribedColours } from "../../../server/engine/extract/described-colours.ts";
import { likeTogether } from "../../../server/engine/extract/like-together.ts";
import { random } from "../../property.ts";

it("names each colour once, and has neighbours that are alike", () => {
  const next = random(8);
  const count = 20_000;
  const colours = new DescribedColours(count);
  for (let i = 0; i < count; i++)
    colours.setRgba(i, Math.floor(next() * 256), Math.floor(next() * 256), Math.floor(next() * 256), 255);
  const order = likeTogether(colours);
  expect([...order].sort((a, b) => a - b)).toEqual(Array.from({ length: count }, (_, i) => i));
  const sorted = colours.inOrder(order);
  const step = ({ L, a, b }: DescribedColours) => {
    let sum = 0;
    for (let i = 1; i < count; i++)
      sum += Math.hypot(L[i]! - L[i - 1]!, a[i]! - a[i - 1]!, b[i]! - b[i - 1]!);
    return sum / count;
  };
  expect(step(sorted)).toBeLessThan(0.3 * step(colours));
});

it("takes colours beyond all steps: the lightest, the most vivid", () => {
  const colours = new DescribedColours(3);
  colours.set(0, 100, 0, 0, 100);
  colours.set(1, 50, 200, -1e-9, 100);
  colours.set(2, 0, 0, 0, 100);
  expect([...likeTogether(colours)].sort()).toEqual([0, 1, 2]);
});
