import { describe, expect, it } from "vitest";
import { areaTable, printedTone } from "../../server/engine/print/gain.ts";
import type { Plate } from "../../server/language/recipe.ts";
import {
  filmCurve,
  filmScreening,
  filmSmallestMark,
  filmSmallestMarkPixels,
  plateScreening,
} from "../../server/render/film-curve.ts";
import { recipeOf } from "./jobs.ts";

const GAIN: [number, number][] = [
  [0, 0],
  [25, 36],
  [50, 66],
  [75, 87],
  [100, 100],
];
const curveOf = (screening: string) => {
  const recipe = recipeOf({ more: `screening: { gain: ${JSON.stringify(GAIN)}, ${screening} }` });
  return [...filmCurve(recipe, recipe.plates.get("ember") as Plate)];
};
const printed = printedTone(GAIN.map(([film, print]) => [film / 100, print / 100]));

describe("what a film asks for", () => {
  it("prints as the plate's tone, each of all 256", () => {
    const curve = curveOf("smallest-dot: 0%");
    expect([curve.length, curve[0], curve[255]]).toEqual([256, 0, 1]);
    for (const [tone, film] of curve.entries()) expect(printed(film)).toBeCloseTo(tone / 255, 9);
    for (const [film, print] of GAIN) expect(curve[Math.round(print * 2.55)]).toBeCloseTo(film / 100, 2);
  });

  it("is no dot and no hole that the screen cannot hold, though less would print as the plate's tone", () => {
    const curve = curveOf("smallest-dot: 4%");
    const dot = 0.04;
    // 4 % of the plate would ask for a film of 2.7 %.
    expect(curve[10]).toBeCloseTo(dot, 12);
    expect(
      curve.filter((film) => (film > 0 && film < dot - 1e-12) || (film < 1 && film > 1 - dot + 1e-9)),
    ).toEqual([]);
    for (let tone = 1; tone < 256; tone++) expect(curve[tone]).toBeGreaterThanOrEqual(curve[tone - 1]!);
  });

  it("is what proofs are printed from", () => {
    const gain = GAIN.map(([film, print]) => [film / 100, print / 100] as const);
    const areas = areaTable({ tones: gain }, true, 0.04);
    const curve = curveOf("smallest-dot: 4%");
    for (const [tone, film] of curve.entries()) expect(areas[tone]).toBeCloseTo(printed(film), 6);
  });

  it("is the plate's tone where films are not compensated, or nothing was measured", () => {
    const plain = Array.from({ length: 256 }, (_, tone) => tone / 255);
    expect(curveOf("smallest-dot: 4%, compensate: false")).toEqual(plain);
    const recipe = recipeOf({});
    expect([...filmCurve(recipe, recipe.plates.get("base") as Plate)]).toEqual(plain);
  });
});

it("a plate's dots are those of its screening, of each method its own figures", () => {
  const of = (screening: string) =>
    filmScreening(recipeOf({ more: `screening: { ${screening} }` }).screening);
  expect(of("ruling: 45 lpi, angle: 15, dot: line")).toEqual({
    method: "am",
    rulingLpi: 45,
    angle: 15,
    dot: "line",
  });
  expect(of("method: fm, grain: 0.2 mm")).toEqual({ method: "fm", grainMm: 0.2 });
  expect(of("method: diffusion, grain: 0.3 mm")).toEqual({ method: "diffusion", grainMm: 0.3 });
});

describe("a plate's own screening", () => {
  const of = (screening: string, own: Record<string, string> = {}) => {
    const plates = ["base", "ember", "rose"]
      .map((name) => `  ${name}: { ink: ember, extract: { artwork: opaque }${own[name] ?? ""} }\n`)
      .join("");
    const recipe = recipeOf({ plates, order: "base, ember, rose", more: `screening: { ${screening} }` });
    return ["base", "ember", "rose"].map((name) => plateScreening(recipe, recipe.plates.get(name) as Plate));
  };
  const squares = (plates: string) =>
    recipeOf({ plates, order: "base, ember", more: "index: { grid: 100/in, grow: 0.02 mm }\n" });
  const INDEXED = `  base: { ink: white, extract: { index: squares } }
  ember: { ink: ember, extract: { artwork: opaque } }
`;

  it("has a mask of its own where it is stochastic, by the stochastic plates before it", () => {
    const masks = (screening: string, own = {}) => of(screening, own).map((one) => "mask" in one && one.mask);
    expect(masks("method: fm, grain: 0.2 mm")).toEqual([0, 1, 2]);
    expect(masks("method: diffusion, grain: 0.2 mm")).toEqual([0, 1, 2]);
    expect(masks("method: fm, grain: 0.2 mm", { ember: ", screening: { method: am }" })).toEqual([
      0,
      false,
      1,
    ]);
    expect(of("method: am")[0]).toEqual(filmScreening(recipeOf({}).screening));
  });

  it("is of squares where it is indexed, and takes no other's mask", () => {
    const recipe = squares(INDEXED);
    const base = recipe.plates.get("base") as Plate;
    expect(plateScreening(recipe, base)).toMatchObject({
      method: "index",
      grainMm: 0.254,
      across: 100,
      growMm: 0.02,
      squareMm: expect.closeTo(0.254, 9),
    });
    const stochastic = { ...recipe.plates.get("ember")!.screening, method: "fm" } as const;
    const ember = { ...recipe.plates.get("ember")!, screening: stochastic } as Plate;
    const changed = { ...recipe, plates: new Map([...recipe.plates, ["ember", ember] as const]) };
    expect(plateScreening(changed, ember)).toMatchObject({ method: "fm", mask: 0 });
  });

  it("has squares print as they are, unless a smallest mark is asked for", () => {
    const base = squares(INDEXED).plates.get("base") as Plate;
    expect(filmSmallestMarkPixels(base, 1200)).toBe(1);
    const marked = { ...base, screening: { ...base.screening, smallestMarkMm: 0.11 } };
    expect(filmSmallestMarkPixels(marked, 1200)).toBe(6);
  });
});

describe("the smallest mark on a plate's film", () => {
  const of = (screening: string) => {
    const recipe = recipeOf({ more: `screening: { ${screening} }` });
    return filmSmallestMark(recipe.plates.get("ember") as Plate);
  };

  it("is half a smallest dot's area, as a disc", () => {
    // 4 % of a cell of 25.4 ÷ 45 mm is 0.012744 mm², a disc of half of that 0.0901 mm across.
    expect(of("ruling: 45 lpi, smallest-dot: 4%")).toBeCloseTo(0.0901, 4);
  });

  it("is thinner than the lines of a line screen, and one grain", () => {
    expect(of("ruling: 45 lpi, smallest-dot: 4%, dot: line")).toBeLessThan((0.04 * 25.4) / 45);
    expect(of("method: fm, grain: 0.2 mm")).toBe(0.2);
  });

  it("is no less in film pixels, but for grains and dots of few pixels, which must stay themselves", () => {
    const pixels = (screening: string, dpi: number) => {
      const recipe = recipeOf({ more: `screening: { ${screening} }` });
      return filmSmallestMarkPixels(recipe.plates.get("ember") as Plate, dpi);
    };
    // 0.0901 mm are 4.26 pixels at 1200 dpi and 2.13 at 600; a grain of 0.11 mm has 5.2, and is drawn with 5.
    expect(pixels("ruling: 45 lpi, smallest-dot: 4%", 1200)).toBe(5);
    expect(pixels("ruling: 45 lpi, smallest-dot: 4%", 600)).toBe(2);
    expect(pixels("method: fm, grain: 0.11 mm", 1200)).toBe(5);
    expect(pixels("smallest-mark: 0.11 mm", 1200)).toBe(6);
  });

  it("is what recipe or plate says", () => {
    expect(of("smallest-mark: 0.15 mm")).toBeCloseTo(0.15, 9);
  });
});
