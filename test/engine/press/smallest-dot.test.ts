import { expect, it } from "vitest";
import { limitTable, limitTone } from "../../../server/engine/press/smallest-dot.ts";

/** What a rule of "nothing or the smallest dot, whichever is nearer" gives, counted out. */
const nearest = (tone: number, dot: number) => (tone >= dot ? tone : tone < dot - tone ? 0 : dot);

it("leaves no dot and no hole under the smallest: 4 % is 10 of 255", () => {
  const table = limitTable(0.04);
  const wanted = Array.from({ length: 256 }, (_, tone) =>
    tone < 128 ? nearest(tone, 10) : 255 - nearest(255 - tone, 10),
  );
  expect([...table]).toEqual(wanted);
  expect([4, 5, 9, 10, 11, 244, 245, 246, 250, 251].map((tone) => table[tone])).toEqual([
    0, 10, 10, 10, 11, 244, 245, 245, 245, 255,
  ]);
});

it("takes the byte nearest to the smallest dot: 35 % is 89.25", () => {
  expect([44, 45, 88, 89, 90].map((tone) => limitTable(0.35)[tone])).toEqual([0, 89, 89, 89, 90]);
});

it("keeps every tone where any dot holds", () => {
  expect([...limitTable(0)]).toEqual(Array.from({ length: 256 }, (_, tone) => tone));
});

it("leaves dots of about half a cell where the smallest would be larger, since a hole needs room too", () => {
  const table = limitTable(0.9);
  expect([63, 64, 127, 128, 191, 192].map((tone) => table[tone])).toEqual([0, 127, 127, 128, 128, 255]);
});

it("limits tones between bytes alike", () => {
  expect([0.019, 0.0201, 0.03, 0.05, 0.97, 0.9799, 0.981].map((tone) => limitTone(tone, 0.04))).toEqual([
    0,
    expect.closeTo(0.04, 12),
    expect.closeTo(0.04, 12),
    expect.closeTo(0.05, 12),
    expect.closeTo(0.96, 12),
    expect.closeTo(0.96, 12),
    1,
  ]);
  // From half up a tone is one of a hole.
  expect([0.498, 0.499, 0.501, 0.502].map((tone) => 255 * limitTone(tone, 0.7))).toEqual([
    127,
    expect.closeTo(127.245, 9),
    expect.closeTo(127.755, 9),
    128,
  ]);
});
