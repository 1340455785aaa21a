import { describe, expect, it } from "vitest";
import { labFromBytes } from "../../../server/engine/colour/cielab.ts";
import type { PlatePlan, SeparationPlan } from "../../../server/engine/plan.ts";
import { FixedPlates } from "../../../server/engine/solve/fixed-plates.ts";
import { BLACK_GARMENT, lab } from "./prints.ts";

const halved = [
  [0, 0],
  [1, 0.5],
] as const;
const region = { shape: "rectangle", from: [0, 0], to: [1, 1], feather: 0 } as const;
const PLATES: PlatePlan[] = [
  { name: "base", extract: { by: "given", tones: undefined, film: false }, strength: { by: "flat" } },
  { name: "drawn", extract: { by: "given", tones: undefined, film: false }, strength: { by: "flat" } },
  { name: "light", extract: { by: "lightness", from: 50, to: 100, fade: 0 }, strength: { by: "lightness" } },
  { name: "matched", extract: { by: "lightness", from: 0, to: 60, fade: 20 }, strength: { by: "match" } },
  { name: "solid", extract: { by: "artwork" }, strength: { by: "solve" } },
  { name: "warm", extract: { by: "lightness", from: 0, to: 60, fade: 20 }, strength: { by: "solve" } },
];
const plan: SeparationPlan = {
  plates: PLATES,
  adjustments: [
    { plate: "light", curve: halved, region: undefined },
    { plate: "light", curve: halved, region },
    { plate: "warm", curve: halved, region: undefined },
  ],
  merges: [],
  knockouts: [],
  traps: [],
  smallestDot: 0,
  solving: {
    conditions: { garment: BLACK_GARMENT, n: 1, compensated: true, smallestDot: 0 },
    stations: PLATES.map(({ name }) => ({
      plate: name,
      ink: { colour: lab(50, 0, 0), opacity: 1 },
      underbase: name === "base",
      wetGroup: 0,
    })),
    wetInk: 3,
    smoothness: 1,
    halftonePrice: 1,
    onlyGarment: true,
  },
};
const own = new FixedPlates(plan);

function fixedAt(L: number, matched: number) {
  const fixed = { tones: new Float64Array(6).fill(9), most: new Float64Array(2).fill(9), heldTo: 0 };
  fixed.tones[3] = matched;
  own.write(lab(L, 0, 0), fixed, [4, 5]);
  return { tones: [...fixed.tones], most: [...fixed.most] };
}

describe("what plates are at a colour", () => {
  it("follows from the colour, from what was matched, and from curves that hold everywhere", () => {
    const { tones, most } = fixedAt(80, 0.6);
    // From files: an underbase is solid, another plate empty. Lightness 80 is 0.8, halved once.
    expect(tones.slice(0, 2)).toEqual([1, 0]);
    expect(tones[2]).toBeCloseTo(0.4, 9);
    // L* 80 lies at the far end of the fades.
    expect(tones[3]).toBe(0);
    expect(tones.slice(4)).toEqual([0, 0]);
    expect(most).toEqual([1, 0]);
  });

  it("is multiplied with membership, which bounds what is solved", () => {
    const { tones, most } = fixedAt(70, 0.6);
    expect(tones[3]).toBeCloseTo(0.6 / 2, 9);
    expect(most[0]).toBe(1);
    expect(most[1]).toBeCloseTo(0.5, 9);
    expect(fixedAt(40, 0.6).tones[2]).toBe(0);
  });
});

it("is as much a member as its extraction says of a pixel, its opacity included", () => {
  const opacity = { by: "opacity", from: 60, to: 100, fade: 0 } as const;
  const plates = PLATES.map((plate) => (plate.name === "solid" ? { ...plate, extract: opacity } : plate));
  const of = new FixedPlates({ ...plan, plates });
  expect([255, 154, 152, 0].map((alpha) => of.member(4, 10, 20, 30, alpha))).toEqual([1, 1, 0, 0]);
  // L* 70 of a grey lies in the middle of the fade.
  const grey = [...Array(256).keys()].find((v) => labFromBytes(v, v, v).L >= 70)!;
  expect(of.member(5, grey, grey, grey, 255)).toBeCloseTo(0.5, 1);
});

it("is bounded where it is solved in a part of the artwork", () => {
  expect(PLATES.map((_, p) => own.bounded(p))).toEqual([false, false, false, false, false, true]);
});
