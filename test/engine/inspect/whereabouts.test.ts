import { expect, it } from "vitest";
import { Whereabouts } from "../../../server/engine/inspect/whereabouts.ts";

/** Thirds of a picture 9 × 6 pixels, marked by `#`. */
function words(picture: string): string {
  const rows = picture.trim().split(/\s+/);
  const where = new Whereabouts(rows[0]!.length, rows.length);
  rows.forEach((row, y) => {
    for (const [x, mark] of [...row].entries()) if (mark === "#") where.add(y * row.length + x);
  });
  return where.words();
}

it.each([
  ["upper left", "##....... ##....... ......... ......... ......... ........."],
  ["lower right", "......... ......... ......... ......... ........# ........#"],
  ["in the middle", "......... ......... ....#.... ....#.... ......... ........."],
  ["middle right", "......... ......... .......## ......... ......... ........."],
  ["on the left", "#........ #........ #........ #........ #........ #........"],
  ["down the middle", "....#.... ....#.... ....#.... ....#.... ....#.... ....#...."],
  ["on the right", "........# ......... ........# ........# ......... ........#"],
  ["across the middle", "......... ......... #...#...# ......... ......... ........."],
  ["at the top", "######### ......... ......... ......... ......... ........."],
  ["at the bottom", "......... ......... ......... ......... ......... #########"],
  ["in several places", "#.......# ......... ......... ......... ......... #.......#"],
  ["upper left", "#........ #........ ......... ......... ........# ........."],
])("names %s", (name, picture) => {
  expect(words(picture)).toBe(name);
});

it("adds up weights", () => {
  const where = new Whereabouts(3, 3);
  where.add(0, 0.5);
  where.add(8, 2);
  expect([where.sum, where.words()]).toEqual([2.5, "lower right"]);
});
