import { expect, it } from "vitest";
import { piecesOf } from "../../../server/engine/areas/pieces.ts";
import { random } from "../../property.ts";

it.each([true, false])("pieces are what can be reached step by step (corners: %s)", (corners) => {
  const next = random(7);
  const [width, height] = [23, 17];
  const labels = Uint8Array.from({ length: width * height }, () => Math.floor(next() * 3));
  const found = piecesOf(labels, width, height, corners);
  // The slow twin: the least number of all that a pixel touches, until none changes.
  const least = Int32Array.from(labels, (_, i) => i);
  for (let changed = true; changed; ) {
    changed = false;
    for (let i = 0; i < least.length; i++)
      for (let j = 0; j < least.length; j++) {
        const [dx, dy] = [
          Math.abs((i % width) - (j % width)),
          Math.abs(Math.floor(i / width) - Math.floor(j / width)),
        ];
        const beside = corners ? Math.max(dx, dy) === 1 : dx + dy === 1;
        if (!beside || labels[i] !== labels[j] || least[j]! >= least[i]!) continue;
        least[i] = least[j]!;
        changed = true;
      }
  }
  // Numbered in the order of their first pixels.
  const numbers = [...new Set(least)].sort((a, b) => a - b);
  expect(found.count).toBe(numbers.length);
  expect([...found.of]).toEqual(Array.from(least, (one) => numbers.indexOf(one)));
  expect([...found.label]).toEqual(numbers.map((one) => labels[one]));
  expect([...found.size]).toEqual(numbers.map((one) => least.filter((other) => other === one).length));
});
