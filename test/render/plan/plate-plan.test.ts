import { describe, expect, it } from "vitest";
import { extraction, strength } from "../../../server/render/plan/plate-plan.ts";
import { separationPlan } from "../../../server/render/plan/separation-plan.ts";
import { recipeOf } from "../jobs.ts";

const extractOf = (extract: string) =>
  separationPlan(recipeOf({ plates: `  a: { ink: ember, extract: ${extract} }\n`, order: "a" })).plates[0]!
    .extract;

describe("what a plate takes, in the engine's terms:", () => {
  it.each([
    ["{ artwork: opaque }", { by: "artwork" }],
    ["{ lightness: [0, 18] }", { by: "lightness", from: 0, to: 18, fade: 0 }],
    ["{ hue: [350, 50], fade: 12 }", { by: "hue", from: 350, to: 50, fade: 12 }],
    ["{ opacity: [50, 100], fade: { opacity: 5, hue: 9 } }", { by: "opacity", from: 50, to: 100, fade: 5 }],
    ["{ chroma: [1, 2], fade: { hue: 9 } }", { by: "chroma", from: 1, to: 2, fade: 0 }],
    [
      "{ near: lab(50 1 2), within: 7, fade: 3 }",
      { by: "near", colour: { L: 50, a: 1, b: 2 }, within: 7, fade: 3 },
    ],
    [
      "{ near: lab(50 1 2), within: 7, fade: { near: 4 } }",
      { by: "near", colour: { L: 50, a: 1, b: 2 }, within: 7, fade: 4 },
    ],
    ["{ near: lab(50 1 2) }", { by: "near", colour: { L: 50, a: 1, b: 2 }, within: 0, fade: 0 }],
    ["{ solve: jointly }", { by: "artwork" }],
    ["{ solve: jointly, hue: [1, 2] }", { by: "hue", from: 1, to: 2, fade: 0 }],
    ["{ except: { artwork: opaque } }", { by: "except", of: { by: "artwork" } }],
    ["{ any: [{ artwork: opaque }] }", { by: "any", of: [{ by: "artwork" }] }],
  ])("%s", (extract, plan) => {
    expect(extractOf(extract)).toEqual(plan);
  });

  it("several conditions must all hold, each with its own fade", () => {
    expect(
      extractOf(
        "{ hue: [10, 20], lightness: [30, 40], artwork: opaque, fade: { hue: 5, lightness: 6 }, all: [{ chroma: [1, 2] }], except: { opacity: [0, 9] } }",
      ),
    ).toEqual({
      by: "all",
      of: [
        { by: "artwork" },
        { by: "lightness", from: 30, to: 40, fade: 6 },
        { by: "hue", from: 10, to: 20, fade: 5 },
        { by: "all", of: [{ by: "chroma", from: 1, to: 2, fade: 0 }] },
        { by: "except", of: { by: "opacity", from: 0, to: 9, fade: 0 } },
      ],
    });
  });

  it("one fade holds for every range beside it, and for none inside", () => {
    expect(extractOf("{ hue: [10, 20], chroma: [1, 2], fade: 3, any: [{ lightness: [4, 5] }] }")).toEqual({
      by: "all",
      of: [
        { by: "chroma", from: 1, to: 2, fade: 3 },
        { by: "hue", from: 10, to: 20, fade: 3 },
        { by: "any", of: [{ by: "lightness", from: 4, to: 5, fade: 0 }] },
      ],
    });
  });
});

it("a colour that is none is told, should one come so far", () => {
  expect(() => extraction({ near: "no colour" })).toThrow(/no colour/);
});

describe("a plate from a file", () => {
  const given = (extract: string, screening: string) => {
    const gain = "[[0, 0], [20, 30], [40, 50], [100, 100]]";
    const plates = `  a: { ink: ember, extract: ${extract} }\n`;
    const more = `screening: { gain: ${gain}, ${screening} }\n`;
    return separationPlan(recipeOf({ plates, order: "a", more })).plates[0]!.extract;
  };

  it("has a film's tones as these print, where films are compensated", () => {
    const { tones, ...rest } = given("{ plate: a.png, screened: true }", "compensate: true") as {
      by: "given";
      tones: readonly number[];
    };
    expect(rest).toEqual({ by: "given", film: true });
    expect(tones).toHaveLength(256);
    // 20 % of film, 51 of 255, prints as 30 %, and 40 as 50.
    expect([tones[0], tones[51], tones[102], tones[255]]).toEqual([0, 77, 128, 255]);
  });

  it("has its own tones else", () => {
    const own = { by: "given", tones: undefined };
    expect(given("{ plate: a.png, screened: true }", "compensate: false")).toEqual({ ...own, film: true });
    expect(given("{ plate: a.png }", "compensate: true")).toEqual({ ...own, film: false });
    expect(extraction({ plate: "a.png" })).toEqual({ ...own, film: false });
    expect(extraction({ plate: "a.png", screened: true })).toEqual({ ...own, film: true });
    const ungained = "  a: { ink: ember, extract: { plate: a.png, screened: true } }\n";
    expect(separationPlan(recipeOf({ plates: ungained, order: "a" })).plates[0]!.extract).toEqual({
      ...own,
      film: true,
    });
  });
});

describe("a plate's strength", () => {
  const of = (by: string) => {
    const recipe = recipeOf({ plates: `  a: { ink: ember, ${by} }\n`, order: "a" });
    return strength(recipe.plates.get("a")!, recipe);
  };

  it("is found where the plate is solved", () => {
    expect(of("extract: { solve: jointly }")).toEqual({ by: "solve" });
  });

  it("is by curves of lightness and chroma, percent as tones 0–1", () => {
    expect(of("extract: { artwork: opaque }, strength: { lightness: [[10, 100], [80, 25]] }")).toEqual({
      by: "curves",
      lightness: [
        [10, 1],
        [80, 0.25],
      ],
      chroma: undefined,
    });
    expect(of("extract: { artwork: opaque }, strength: { chroma: [[0, 0], [60, 50]] }")).toEqual({
      by: "curves",
      lightness: undefined,
      chroma: [
        [0, 0],
        [60, 0.5],
      ],
    });
  });
});
