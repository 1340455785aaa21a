import { expect, it } from "vitest";
import { Mixtures, mixedOf } from "../../../server/engine/areas/mixtures.ts";
import type { Yuv } from "../../../server/engine/areas/planes.ts";

const PALETTE: readonly Yuv[] = [
  [0, 0, 0],
  [200, 0, 0],
  [100, 60, 0],
];

/** What a colour is taken for: first, second and the first one's share. */
function taken(at: Yuv, local: number, { colour = 1, away = 22, two = 3, without = -1 } = {}) {
  const mix = new Mixtures(PALETTE, colour, away, two);
  mix.of(...at, local, without);
  return [mix.first, mix.second, mix.share, mix.cost];
}

it("takes a colour of the palette for itself, at no cost where it is beside", () => {
  expect(taken([200, 0, 0], 0b11)).toEqual([1, 1, 255, 0]);
  // 22² where it is not.
  expect(taken([200, 0, 0], 0b01)).toEqual([1, 1, 255, 484]);
});

it("takes what lies between two for a share of each, at the price of two", () => {
  // 50 of 200: 0.75 of 255 = 191.25, at 3².
  expect(taken([50, 0, 0], 0b11)).toEqual([0, 1, 191, 9]);
  expect(taken([150, 0, 0], 0b11)).toEqual([1, 0, 191, 9]);
  // Five beside the line between them: 5² more, and a tenth of it where colour weighs so.
  expect(taken([140, 0, 5], 0b11)[3]).toBe(34);
  expect(taken([140, 0, 5], 0b11, { colour: 0.1 })[3]).toBeCloseTo(11.5, 9);
});

it("takes no colour that is to be left out, and believes what is beside sooner", () => {
  expect(taken([100, 58, 0], 0b111)[0]).toBe(2);
  expect(taken([100, 58, 0], 0b111, { without: 2 }).slice(0, 2).sort()).toEqual([0, 1]);
  // 10 off a colour that is not beside, 50 off the line between those that are: 100 + 22² or 60² against 2500 + 3².
  expect(taken([100, 50, 0], 0b011)[0]).toBe(2);
  expect(taken([100, 50, 0], 0b011, { away: 60 }).slice(0, 2).sort()).toEqual([0, 1]);
});

it("takes a pixel of which a colour has more than 250 of 255 as wholly its own", () => {
  // 1.96 % and 1.6 % of the way: 250 and 250.9 of 255, both dearer alone than 3².
  expect(taken([3.92, 0, 0], 0b11).slice(0, 3)).toEqual([0, 1, 250]);
  expect(taken([3.2, 0, 0], 0b11).slice(0, 3)).toEqual([0, 0, 255]);
});

it("takes no two colours neither of which is beside, but where none is", () => {
  // On the line between 0 and 1; beside is 2, from whose line to either it lies 51.4 off.
  const [first, second, , cost] = taken([100, 0, 0], 0b100);
  expect([first, second].includes(2)).toBe(true);
  expect(cost).toBeCloseTo(3000 ** 2 / 3400 + 22 ** 2 + 3 ** 2, 6);
  expect(taken([100, 0, 0], 0)).toEqual([0, 1, 128, 2 * 22 ** 2 + 3 ** 2]);
});

it("lets an edge overshoot its colours by 15 % of its step, and no more", () => {
  expect(taken([225, 0, 0], 0b11)).toEqual([1, 1, 255, 9]);
  // Ten beyond: the pixel alone is 35² off.
  expect(taken([240, 0, 0], 0b11)[3]).toBeCloseTo(9 + 10 ** 2, 9);
});

it("tells what an edge between two others may look like", () => {
  const mixed = mixedOf([
    [0, 0, 0],
    [200, 0, 0],
    [100, 5, 0],
    [100, 9, 0],
    [250, 0, 0],
  ]);
  expect(mixed(2, 0, 1)).toBe(true);
  expect(mixed(2, 1, 0)).toBe(true);
  expect(mixed(3, 0, 1)).toBe(false);
  expect(mixed(4, 0, 1)).toBe(false);
  expect(mixed(0, 0, 1)).toBe(false);
  // Beyond the one by a tenth of their step, however short that is.
  const beyond = mixedOf([
    [0, 0, 0],
    [2, 0, 0],
    [2.2, 0, 0],
    [-0.2, 0, 0],
  ]);
  expect([beyond(2, 0, 1), beyond(3, 0, 1), beyond(1, 0, 2), beyond(0, 3, 1)]).toEqual([
    false,
    false,
    true,
    true,
  ]);
});
