import { expect, it } from "vitest";
import { Squares, worstOf } from "../../../../client/panel/pixels/worst-places.ts";

/** 80 × 60 pixels make squares of 2. */
const [WIDTH, HEIGHT] = [80, 60];

function squares(differenceAt: (x: number, y: number) => number): Squares {
  const made = new Squares(WIDTH, HEIGHT);
  for (let i = 0; i < WIDTH * HEIGHT; i++) {
    const far = differenceAt(i % WIDTH, Math.floor(i / WIDTH));
    if (far > 0) made.add(i, far);
  }
  return made;
}

it("names the middle of what is worst, by its mean over a square", () => {
  const found = worstOf(squares((x, y) => (x >= 40 && x < 42 && y >= 20 && y < 22 ? 8 : 0)).worst(), WIDTH);
  expect(found).toEqual([{ x: 41, y: 21, side: 2, difference: 8 }]);
});

it("counts a single pixel for little", () => {
  const found = worstOf(squares((x, y) => (x === 4 && y === 4 ? 30 : x >= 60 ? 9 : 0)).worst(), WIDTH);
  expect(found[0]!.x).toBeGreaterThan(60);
});

it("takes places apart from one another, the worst first, no more than six", () => {
  const found = worstOf(squares((x, y) => 1 + x / 100 + y / 100).worst(), WIDTH);
  expect(found.length).toBeLessThanOrEqual(6);
  expect(found[0]).toMatchObject({ x: 79, y: 59 });
  for (const [i, a] of found.entries())
    for (const b of found.slice(i + 1)) expect(Math.hypot(a.x - b.x, a.y - b.y)).toBeGreaterThanOrEqual(6);
});

it("takes places three squares apart, and none that is nearer", () => {
  const places = (x: number) =>
    worstOf(squares((u, v) => (v < 2 && (u < 2 || (u >= x && u < x + 2)) ? 8 : 0)).worst(), WIDTH);
  expect(places(6).map(({ x }) => x)).toEqual([1, 7]);
  expect(places(4).map(({ x }) => x)).toEqual([1]);
});

it("names nothing where nothing differs", () => {
  expect(worstOf(squares(() => 0).worst(), WIDTH)).toEqual([]);
});
