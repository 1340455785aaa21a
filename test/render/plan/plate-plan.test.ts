import { describe, expect, it } from "vitest";
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
