import { expect, it } from "vitest";
import { disc } from "../../../server/engine/trap/disc.ts";

it("is a single pixel at radius 0", () => {
  const { rows, full, rim } = disc(0);
  expect([rows, [...full], rim]).toEqual([1, [0], [[]]]);
});

it("covers what lies within the radius and weighs down what lies up to a pixel beyond", () => {
  const { rows, full, rim } = disc(2);
  // Distances by hand: (2,0) 2, (1,1) 1.414, (2,1) 2.236 adds 60, (2,2) 2.828 adds 211, (1,2) 2.236 adds 60.
  expect(rows).toBe(3);
  expect([...full]).toEqual([2, 1, 0]);
  expect(rim).toEqual([
    [],
    [{ dx: 2, adds: 60 }],
    [
      { dx: 1, adds: 60 },
      { dx: 2, adds: 211 },
    ],
  ]);
});

it("has a row without any full pixel where the radius is a fraction", () => {
  const { full, rim } = disc(1.5);
  // (0,2) adds ½ of 255; (1,2) 2.236 adds 188.
  expect([...full]).toEqual([1, 1, -1]);
  expect(rim[2]).toEqual([
    { dx: 0, adds: 128 },
    { dx: 1, adds: 188 },
  ]);
});

it("is alike along and across, at any radius", () => {
  for (const radius of [0.3, 1, 1.5, 2.9, 4.25, 7]) {
    const { rows, full, rim } = disc(radius);
    const weight = (dx: number, dy: number) =>
      dx <= full[dy] ? 0 : (rim[dy].find((edge) => edge.dx === dx)?.adds ?? 255);
    for (let dy = 0; dy < rows; dy++) {
      for (let dx = 0; dx < rows; dx++)
        expect(weight(dx, dy), `${radius}: ${dx}, ${dy}`).toBe(weight(dy, dx));
    }
  }
});
