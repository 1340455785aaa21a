import { expect, it } from "vitest";
import { disc } from "../../../server/engine/trap/disc.ts";

it("is a single pixel at radius 0", () => {
  const { rows, full, rim, between } = disc(0);
  expect([rows, [...full], rim, between]).toEqual([1, [-1], [[{ dx: 0, adds: 0 }]], []]);
});

it("covers what lies within radius − 1 fully and weighs what lies up to a pixel beyond the radius", () => {
  const { rows, full, rim } = disc(2);
  // Distances by hand: (2,0) 2 adds 0, (1,1) 1.414 takes 149, (2,1) 2.236 adds 60, (2,2) 2.828 adds 211.
  expect(rows).toBe(3);
  expect([...full]).toEqual([1, 0, -1]);
  expect(rim).toEqual([
    [{ dx: 2, adds: 0 }],
    [
      { dx: 1, adds: -149 },
      { dx: 2, adds: 60 },
    ],
    [
      { dx: 0, adds: 0 },
      { dx: 1, adds: 60 },
      { dx: 2, adds: 211 },
    ],
  ]);
});

it("has no full pixel where the radius is under one", () => {
  const { full, rim } = disc(0.5);
  // Its own pixel takes ½ of 255, the next adds ½.
  expect([...full]).toEqual([-1, -1]);
  expect(rim[0]).toEqual([
    { dx: 0, adds: -127 },
    { dx: 1, adds: 128 },
  ]);
});

it("sees midpoints of four pixels half a pixel nearer both ways, with small brushes", () => {
  // (½, ½) 0.707 takes 75; with the larger brush 203, and (1½, ½) 1.581 adds 20.
  expect(disc(1).between).toEqual([[{ dx: 0, adds: -75 }]]);
  expect(disc(1.5).between).toEqual([
    [
      { dx: 0, adds: -202 },
      { dx: 1, adds: 21 },
    ],
    [
      { dx: 0, adds: 21 },
      { dx: 1, adds: 158 },
    ],
  ]);
  expect(disc(4.1).between).toEqual([]);
});

it("is alike along and across, at any radius", () => {
  for (const radius of [0.3, 1, 1.5, 2.9, 4.25, 7]) {
    const { rows, full, rim } = disc(radius);
    const weight = (dx: number, dy: number) =>
      dx <= full[dy] ? -255 : (rim[dy].find((edge) => edge.dx === dx)?.adds ?? 255);
    for (let dy = 0; dy < rows; dy++) {
      for (let dx = 0; dx < rows; dx++)
        expect(weight(dx, dy), `${radius}: ${dx}, ${dy}`).toBe(weight(dy, dx));
    }
  }
});
