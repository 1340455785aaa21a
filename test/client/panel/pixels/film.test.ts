import { expect, it } from "vitest";
import { filmColour } from "../../../../client/panel/pixels/film.ts";

it("is nearly white where the film is clear, nearly black where it is solid, and even between", () => {
  expect(filmColour(0)).toEqual([238, 241, 242, 255]);
  expect(filmColour(255)).toEqual([17, 17, 17, 255]);
  // A fifth of the way: 238 − 44.2, 241 − 44.8, 242 − 45.
  expect(filmColour(51)).toEqual([193.8, 196.2, 197, 255].map((v) => expect.closeTo(v, 9)));
});
