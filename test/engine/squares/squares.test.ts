import { applyPaletteSync, utils } from "image-q";
import { describe, expect, it } from "vitest";
import { prepare } from "../../../server/engine/areas/prepare.ts";
import { deltaE00 } from "../../../server/engine/colour/ciede2000.ts";
import { type LinearRgb, labFromLinear } from "../../../server/engine/colour/cielab.ts";
import { LINEAR_OF_BYTE } from "../../../server/engine/colour/srgb.ts";
import type { IndexPlan, SeparationPlan } from "../../../server/engine/plan.ts";
import type { Picture } from "../../../server/engine/raster.ts";
import { separate } from "../../../server/engine/separate.ts";
import { SquareNoise } from "../../../server/engine/squares/blue-noise.ts";
import { SquareDiffusion } from "../../../server/engine/squares/diffusion.ts";
import { Palette } from "../../../server/engine/squares/palette.ts";
import { inkOfEachSquare } from "../../../server/engine/squares/squares.ts";
import { PLAIN } from "../plans.ts";

type Rgb = readonly [r: number, g: number, b: number];

const linear = ([r, g, b]: Rgb): LinearRgb => ({
  r: LINEAR_OF_BYTE[r]!,
  g: LINEAR_OF_BYTE[g]!,
  b: LINEAR_OF_BYTE[b]!,
});
/** White garment and seven inks. */
const INKS: readonly Rgb[] = [
  [245, 244, 240],
  [22, 22, 24],
  [216, 40, 36],
  [30, 130, 60],
  [36, 60, 150],
  [250, 215, 40],
  [230, 110, 170],
  [90, 190, 230],
];
const plan = (across: number, dither: IndexPlan["dither"]): IndexPlan => ({
  across,
  colours: INKS.map(linear),
  dither,
});

const SIDE = 128;
/** Soft colours that turn into one another, light above and dark below. */
const SOFT: Picture = drawn(SIDE, SIDE, (x, y) => {
  const level = 1 - (0.75 * y) / SIDE;
  const wave = (phase: number) => 0.55 + 0.2 * Math.sin((2 * Math.PI * x) / SIDE + phase);
  return [wave(0), wave(2.1), wave(4.2)].map((v) => Math.round(235 * level * v + 20)) as unknown as Rgb;
});

function drawn(width: number, height: number, at: (x: number, y: number) => Rgb, alpha = 255): Picture {
  const data = new Uint8Array(width * height * 4);
  for (let y = 0; y < height; y++)
    for (let x = 0; x < width; x++) data.set([...at(x, y), alpha], (y * width + x) * 4);
  return { width, height, data };
}

/** ΔE00 between the mean lights of both in windows of 32 × 32, one by one. */
function windowDifferences(artwork: Picture, inkAt: (i: number) => Rgb, side = 32): number[] {
  const { width, height, data } = artwork;
  const found: number[] = [];
  for (let y0 = 0; y0 < height; y0 += side)
    for (let x0 = 0; x0 < width; x0 += side) {
      const sums = [0, 0, 0, 0, 0, 0];
      for (let y = y0; y < y0 + side; y++)
        for (let x = x0; x < x0 + side; x++) {
          const i = y * width + x;
          const ink = inkAt(i);
          for (let c = 0; c < 3; c++) {
            sums[c]! += LINEAR_OF_BYTE[data[i * 4 + c]!]! / side ** 2;
            sums[c + 3]! += LINEAR_OF_BYTE[ink[c]!]! / side ** 2;
          }
        }
      const [p, q] = [0, 3].map((k) => labFromLinear({ r: sums[k]!, g: sums[k + 1]!, b: sums[k + 2]! }));
      found.push(deltaE00(p!.L, p!.a, p!.b, q!.L, q!.a, q!.b));
    }
  return found;
}
const mean = (values: readonly number[]) => values.reduce((sum, v) => sum + v, 0) / values.length;

let quantised: number | undefined;
/** Mean difference of an independent quantiser with Floyd and Steinberg's diffusion, the better of two ways to ask it. */
function bestOfQuantiser(): number {
  quantised ??= measuredQuantiser();
  return quantised;
}

function measuredQuantiser(): number {
  return Math.min(
    ...[(v: number) => v, (v: number) => Math.round(255 * LINEAR_OF_BYTE[v]!)].map((coded) => {
      // Once in sRGB as it is coded, and once in light, which suits the measure better.
      const palette = new utils.Palette();
      for (const ink of INKS) {
        const [r, g, b] = ink.map(coded) as unknown as Rgb;
        palette.add(utils.Point.createByRGBA(r, g, b, 255));
      }
      const data = SOFT.data.map((v, i) => (i % 4 === 3 ? v : coded(v)));
      const made = applyPaletteSync(utils.PointContainer.fromUint8Array(data, SIDE, SIDE), palette, {
        colorDistanceFormula: "euclidean",
        imageQuantization: "floyd-steinberg",
      }).toUint8Array();
      const inkAt = (i: number) =>
        INKS.find((ink) => ink.every((v, c) => coded(v) === made[i * 4 + c]!)) ?? expect.fail("no ink");
      return mean(windowDifferences(SOFT, inkAt));
    }),
  );
}

describe("squares of an index separation", () => {
  it.each(["diffusion", "blue-noise"] as const)(
    "mix to the artwork's colour in windows, no worse than an independent quantiser on the same inks: %s",
    (dither) => {
      const inks = inkOfEachSquare(SOFT, plan(SIDE, dither));
      const own = windowDifferences(SOFT, (i) => INKS[inks[i]!]!);
      const theirs = bestOfQuantiser();
      expect(mean(own)).toBeLessThan(theirs);
      expect(mean(own)).toBeLessThan(1.5);
    },
  );

  it.each(["diffusion", "blue-noise"] as const)(
    "show an ink's own colour as that ink alone: %s",
    (dither) => {
      for (const [k, ink] of INKS.entries())
        expect(
          new Set(
            inkOfEachSquare(
              drawn(40, 40, () => ink),
              plan(40, dither),
            ),
          ),
        ).toEqual(new Set([k]));
    },
  );

  it.each([
    ["diffusion", (palette: Palette) => new SquareDiffusion(palette, SIDE)],
    ["blue-noise", (palette: Palette) => new SquareNoise(palette)],
  ] as const)("are chosen as is asked for: %s", (dither, choiceOf) => {
    const { colours } = plan(SIDE, dither);
    const choice = choiceOf(new Palette(colours));
    const cover = new Float64Array(SIDE).fill(1);
    const wanted = new Uint8Array(SIDE * SIDE);
    for (let y = 0; y < SIDE; y++) {
      const row = SOFT.data.subarray(4 * SIDE * y, 4 * SIDE * (y + 1));
      const light = Float64Array.from(
        { length: 3 * SIDE },
        (_, i) => LINEAR_OF_BYTE[row[4 * Math.floor(i / 3) + (i % 3)]!]!,
      );
      choice.row({ light, cover }, y, wanted.subarray(SIDE * y, SIDE * (y + 1)));
    }
    expect(Buffer.compare(inkOfEachSquare(SOFT, plan(SIDE, dither)), wanted)).toBe(0);
  });

  it("are blocks of pixels where the grid is coarser, and leave what is clear bare", () => {
    const inks = inkOfEachSquare(SOFT, plan(32, "diffusion"));
    for (let y = 0; y < SIDE; y++)
      for (let x = 0; x < SIDE; x++)
        expect(inks[y * SIDE + x]).toBe(inks[(y - (y % 4)) * SIDE + x - (x % 4)]);
    for (const dither of ["diffusion", "blue-noise"] as const)
      expect(
        new Set(
          inkOfEachSquare(
            drawn(16, 16, () => [0, 0, 0], 0),
            plan(16, dither),
          ),
        ),
      ).toEqual(new Set([0]));
  });
});

describe("plates of an index separation", () => {
  const recipe: SeparationPlan = {
    preparation: { index: plan(64, "diffusion") },
    plates: INKS.slice(1).map((_, k) => ({
      name: `ink${k + 1}`,
      extract: { by: "artwork" },
      strength: { by: "index", colour: k + 1 },
    })),
    ...PLAIN,
    smallestDot: 0.04,
  };
  const { picture } = prepare(SOFT, 1, recipe.preparation!);
  const plates = [...separate(picture, 1, recipe)].flatMap((step) =>
    typeof step === "number" ? [] : [step],
  );

  it("sum to one ink or none everywhere", () => {
    for (let i = 0; i < SIDE * SIDE; i++) {
      const sum = plates.reduce((all, { tones }) => all + tones[i]!, 0);
      expect(sum).toBe(picture.squares![i] === 0 ? 0 : 255);
    }
    expect(plates.filter(({ tones }) => tones.includes(255)).length).toBeGreaterThan(5);
  });
});
