import { expect, it } from "vitest";
import { specksOf } from "../../../server/engine/inspect/specks.ts";

it("counts pieces that print and are smaller than asked, across corners too", () => {
  const rows = [
    "#....##.", //
    ".#...##.",
    ".....##.",
    "#.......",
    "....#...",
  ];
  const tones = Uint8Array.from(rows.join(""), (sign) => (sign === "#" ? 12 : 0));
  const count = (most: number) => specksOf(tones, { width: 8, height: 5 }, most);
  // Two of one pixel, one of two at a corner, one of six.
  expect([1, 2, 3, 7].map(count)).toEqual([0, 2, 3, 4]);
});
