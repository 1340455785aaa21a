import { expect, it } from "vitest";
import { Thirds } from "../../server/engine/inspect/thirds.ts";
import { mostly, placeWhere, placeWords } from "../../server/language/place-words.ts";

/** Thirds of a picture 9 × 6 pixels, marked by `#`. */
function words(picture: string): string {
  const rows = picture.trim().split(/\s+/);
  const where = new Thirds(rows[0]!.length, rows.length);
  rows.forEach((row, y) => {
    for (const [x, mark] of [...row].entries()) if (mark === "#") where.add(y * row.length + x);
  });
  return placeWords(where);
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

it("says of a place that most lies there, and of what is spread that it is", () => {
  expect([mostly("upper left"), mostly("in several places")]).toEqual([
    "mostly upper left",
    "in several places",
  ]);
  expect([placeWhere("upper left"), placeWhere("in several places")]).toEqual(["upper left, where", "where"]);
});
