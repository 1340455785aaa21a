import { describe, expect, it } from "vitest";
import type { Recipe } from "../../server/language/recipe.ts";
import { addedUp, filmShare, inkByPlate, inkNeeds } from "../../server/render/ink-needs.ts";
import { CLEAR, printOf, RED } from "../rules/printed.ts";

/**
 * Worked by hand. A mesh maker's table: 90/cm, thread 40 µm, opening 73 µm, fabric 59 µm, 25 cm³/m², rounded from
 * (73 / 113)² × 59 = 24.623 cm³/m².
 */
const VOLUME = 24.623;
/** 200 × 100 mm, the left half red: 100 cm² of ink. */
const art = { width: 40, height: 20, at: (x: number) => (x < 20 ? RED : CLEAR) };

const job = (
  ink: string,
  { plate = "", use = "", curve = "" } = {},
) => `artwork: { file: a.png, width: 200 mm }
meshes: { fine: { count: 90/cm, thread: 40 um, opening: 73 um, thickness: 59 um } }
usual-mesh: { colour: fine }
${use}inks:
  ember: { colour: "#d8431f", opacity: 70%${ink} }
plates:
  ember: { ink: ember, extract: { artwork: opaque }${plate} }
traps: []
knockouts: []
${curve}setups:
  dark: { garments: [black], order: [ember] }
`;

const needOf = async (text: string, garments: number) => {
  const [need] = inkNeeds(await printOf(text, art), ["ember"], garments);
  return need!;
};

describe("ink for an order", () => {
  it("is film area × volume × density × garments, and spoilage", async () => {
    // 0.01 m² × 24.623 cm³/m² × 60 × 1.03 = 15.217 cm³; × 1.3 g/cm³ = 19.782 g.
    const need = await needOf(job(", density: 1.3 g/cm3"), 60);
    expect(need.cm3).toBeCloseTo(15.217, 3);
    expect(need.grams).toBeCloseTo(19.782, 3);
    expect([need.density, need.assumed]).toEqual([1.3, false]);
  });

  it("counts strokes, and the share that the shop found to reach the garment", async () => {
    // 0.01 × 24.623 × 70 % × 2 × 100 × 1.05 = 36.196 cm³.
    const use = "ink-use: { transfer: 70%, spoilage: 5% }\n";
    const need = await needOf(job("", { plate: ", hits: 2", use }), 100);
    expect(need.cm3).toBeCloseTo(0.01 * VOLUME * 0.7 * 2 * 105, 2);
    expect(need.cm3).toBeCloseTo(36.196, 2);
  });

  it("goes by the film, not by the plate's tone", async () => {
    // The plate asks for 50 %; these screens print 50 % from 40 % on film: 0.01 × 40 % × 24.623 × 100 × 1.03.
    const curve = `adjust:
  - { plate: ember, curve: [[0, 0], [100, 50]] }
screening: { gain: [[0, 0], [40, 50], [100, 100]] }
`;
    const print = await printOf(job("", { curve }), art);
    expect(filmShare(print, print.recipe.plates.get("ember")!)).toBeCloseTo(0.2, 2);
    expect((await needOf(job("", { curve }), 100)).cm3).toBeCloseTo(10.145, 1);
  });

  it("takes the usual density where none is said, and tells so", async () => {
    expect(await needOf(job(""), 1)).toMatchObject({ density: 1.44, assumed: true });
    expect(await needOf(job(", kind: plastisol"), 1)).toMatchObject({ density: 1.44, assumed: true });
    expect(await needOf(job(", kind: water-based"), 1)).toMatchObject({ density: 1.1, assumed: true });
  });

  it("is weighed out by the mix", async () => {
    // 100 garments: 0.01 × 24.623 × 103 × 1.0 = 25.361 g, of which 9 in 10 are base.
    const { mix } = await needOf(job(", density: 1 g/cm3, mix: { base: 9, red: 1 }"), 100);
    expect(mix).toEqual([
      { of: "base", parts: 9, grams: expect.closeTo(22.8255, 3) },
      { of: "red", parts: 1, grams: expect.closeTo(2.536, 3) },
    ]);
  });

  it("is added up over prints, and open where one of them is", async () => {
    const print = await printOf(job(""), art);
    const need = inkNeeds(print, ["ember"], 10);
    const { inks }: Recipe = print.recipe;
    expect(addedUp([...need, ...need], inks)).toEqual([
      {
        ...need[0],
        cm3: expect.closeTo(2 * need[0]!.cm3!, 9),
        grams: expect.closeTo(2 * need[0]!.grams!, 9),
      },
    ]);
    const [open] = addedUp([...need, { ...need[0]!, cm3: undefined }], inks);
    expect([open!.cm3, open!.grams]).toEqual([undefined, undefined]);
  });

  it("is open where a figure of the mesh is not known, and where there is no mesh", async () => {
    for (const [figure, rest] of [
      ["thread: 40 um, ", "opening: 73 um, thickness: 59 um"],
      ["opening: 73 um, ", "thread: 40 um, thickness: 59 um"],
      [", thickness: 59 um", "thread: 40 um, opening: 73 um"],
    ] as const) {
      const text = job(", mix: { base: 1 }").replace(figure, "");
      expect(text).toContain(rest);
      expect(await needOf(text, 1)).toMatchObject({
        cm3: undefined,
        grams: undefined,
        mix: [{ of: "base", parts: 1, grams: undefined }],
      });
      expect(inkByPlate(await printOf(text, art), ["ember"], 1)[0]!.grams).toBeUndefined();
    }
    expect((await needOf(job("").replace("usual-mesh: { colour: fine }\n", ""), 1)).cm3).toBeUndefined();
  });

  it("is told plate by plate too", async () => {
    const print = await printOf(job(", density: 1.3 g/cm3"), art);
    expect(inkByPlate(print, ["ember"], 60)).toEqual([{ plate: "ember", grams: expect.closeTo(19.782, 3) }]);
  });
});

describe("a discharge ink of a recipe", () => {
  const on = async (garment: string, kind: string) => {
    const text = `garments: { black: { colour: ${garment} } }\n${job(kind)}`;
    const print = await printOf(text, art);
    return [...print.proof("black", "dark").subarray(0, 3)];
  };

  it("proofs as on garments of the colour that it leaves", async () => {
    const discharged = await on('"#17171a", discharged: "#d9cfb4"', ", kind: discharge");
    expect(discharged).toEqual(await on('"#d9cfb4"', ""));
    expect(discharged).not.toEqual(await on('"#17171a"', ", kind: discharge"));
  });
});
