import { describe, expect, it } from "vitest";
import { parseDocument } from "../../server/language/document.ts";
import type { Recipe } from "../../server/language/recipe.ts";
import { resolveRecipe } from "../../server/language/resolve-recipe.ts";
import { parseColour } from "../../server/language/values/colour.ts";
import { SOUND, soundBut } from "./documents.ts";

function resolved(text: string, shop?: string): Recipe {
  return resolveRecipe(
    parseDocument("a.sep.yaml", text),
    shop === undefined ? undefined : parseDocument("b.shop.yaml", shop),
  );
}

const labOf = (text: string) => {
  const colour = parseColour(text);
  return colour.ok ? colour.value : undefined;
};

describe("a resolved recipe", () => {
  it("has one unit for each quantity", () => {
    const recipe = resolved(`${SOUND}knockouts:
  - { from: base, where: ember, choke: 0.02 cm }
  - { from: ember, where: base }
traps:
  - { plate: base, choke: 300 um }
  - { plate: ember, spread: 0.01 in }
  - { neighbours: 0.15 mm }
  - { plate: ember, spread: 0.2 mm, under: base }
screening: { ruling: 20 l/cm, film: 480 d/cm, smallest-dot: 5%, angle: -15, dot: ellipse }
`);
    expect(recipe.artwork).toMatchObject({ file: "art.png", widthMm: 50.8 });
    expect(recipe.knockouts).toEqual([
      { from: "base", where: "ember", above: 0, chokeMm: expect.closeTo(0.2, 9) },
      { from: "ember", where: "base", above: 0, chokeMm: 0 },
    ]);
    expect(recipe.traps).toEqual([
      { index: 0, plate: "base", way: "choke", distanceMm: expect.closeTo(0.3, 9), under: undefined },
      { index: 1, plate: "ember", way: "spread", distanceMm: expect.closeTo(0.254, 9), under: undefined },
      { index: 3, plate: "ember", way: "spread", distanceMm: expect.closeTo(0.2, 9), under: "base" },
    ]);
    expect(recipe.neighbours).toEqual({ distanceMm: expect.closeTo(0.15, 9), index: 2 });
    expect(recipe.screening).toEqual({
      rulingLpi: expect.closeTo(50.8, 9),
      angle: -15,
      dot: "ellipse",
      method: "am",
      grainMm: 0.12,
      filmDpi: expect.closeTo(1219.2, 9),
      smallestDot: 0.05,
      gain: undefined,
      compensate: true,
    });
    expect(recipe.inks.get("ember")).toEqual({
      colour: labOf("#d8431f"),
      opacity: expect.closeTo(0.7, 9),
      film: { colour: labOf("#d8431f")!.lab, opacity: expect.closeTo(0.7, 9) },
      gain: undefined,
    });
    expect(recipe.garments.get("black")).toEqual({ colour: labOf("#17171a") });
  });

  it("has regions in millimetres", () => {
    const recipe = resolved(`${SOUND}adjust:
  - { plate: base, curve: [[0, 0], [100, 90]] }
  - plate: ember
    curve: [[0, 10], [50, 55], [100, 100]]
    region: { polygon: [[1 cm, -2 mm], [1 in, 0 mm], [3 mm, 4 mm]], feather: 0.2 cm }
  - { plate: base, curve: [[0, 0], [1, 1]], region: { rectangle: { from: [1 mm, 2 mm], to: [3 mm, 4 mm] } } }
  - { plate: base, curve: [[0, 0], [1, 1]], region: { ellipse: { centre: [1 cm, 2 cm], radii: [3 cm, 4 cm] } } }
`);
    expect(recipe.adjustments.map(({ plate }) => plate)).toEqual(["base", "ember", "base", "base"]);
    expect(recipe.adjustments[1]!.curve).toEqual([
      [0, 10],
      [50, 55],
      [100, 100],
    ]);
    expect(recipe.adjustments.map(({ region }) => region)).toEqual([
      undefined,
      {
        shape: "polygon",
        points: [
          [10, -2],
          [25.4, 0],
          [3, 4],
        ],
        feather: 2,
      },
      { shape: "rectangle", from: [1, 2], to: [3, 4], feather: 0 },
      { shape: "ellipse", centre: [10, 20], radii: [30, 40], feather: 0 },
    ]);
  });

  it("has inks and garment of a kind", () => {
    const recipe = resolved(
      SOUND.replace(
        'ember: { colour: "#d8431f", opacity: 70% }',
        'ember: { colour: "#d8431f", opacity: 70%, kind: metallic, density: 1.3 kg/l, particle: 40 um, mix: { base: 9, red: 1 } }',
      ).replace(
        'black: { colour: "#17171a" }',
        'black: { colour: "#17171a", fabric: cotton, weight: 5.3 oz/yd2, discharged: "#d9cfb4" }',
      ),
    );
    expect(recipe.inks.get("ember")).toMatchObject({
      kind: "metallic",
      density: 1.3,
      particleMm: expect.closeTo(0.04, 9),
      mix: new Map([
        ["base", 9],
        ["red", 1],
      ]),
    });
    // 5.3 × 28.349523 g ÷ 0.83612736 m².
    expect(recipe.garments.get("black")).toMatchObject({
      fabric: "cotton",
      weight: expect.closeTo(179.7, 1),
      discharged: labOf("#d9cfb4"),
    });
  });

  it("scales regions that are told in percent of the artwork's width", () => {
    const region = (width: string) =>
      resolved(
        `${SOUND.replace("width: 2 in", `width: ${width}`)}adjust:
  - plate: ember
    region: { ellipse: { centre: [50%, 10 mm], radii: [20%, 5 mm] }, feather: 2% }
    curve: [[0, 0], [100, 80]]
`,
      ).adjustments[0]!.region;
    const near = (value: number) => expect.closeTo(value, 9);
    expect(region("100 mm")).toEqual({
      shape: "ellipse",
      centre: [near(50), near(10)],
      radii: [near(20), near(5)],
      feather: near(2),
    });
    expect(region("50 mm")).toEqual({
      shape: "ellipse",
      centre: [near(25), near(10)],
      radii: [near(10), near(5)],
      feather: near(1),
    });
  });

  it("fills in what is usual", () => {
    const recipe = resolved(SOUND);
    expect(recipe.plates.get("base")).toEqual({
      name: "base",
      ink: "white",
      purpose: "colour",
      strength: "flat",
      extract: { artwork: "opaque" },
      mesh: undefined,
      hits: 1,
      screening: recipe.screening,
    });
    expect(recipe.screening).toEqual({
      rulingLpi: 45,
      angle: 22.5,
      dot: "round",
      method: "am",
      grainMm: 0.12,
      filmDpi: 1200,
      smallestDot: expect.closeTo(0.03, 9),
      gain: undefined,
      compensate: true,
    });
    expect(recipe.solve).toEqual({
      garment: undefined,
      wetInk: expect.closeTo(3, 9),
      smoothness: 1,
      halftonePrice: 1,
    });
    expect(recipe.inkUse).toEqual({ transfer: 1, spoilage: 0.03 });
    expect(recipe).toMatchObject({ title: "", merges: [], knockouts: [], traps: [], adjustments: [] });
    expect([recipe.press, recipe.meshes.size]).toEqual([undefined, 0]);
  });

  it("keeps the file's order of plates, and knows plates from steps of the press", () => {
    const recipe = resolved(soundBut("[base, ember]", "[ember, flash, base, cool-down]"));
    expect([...recipe.plates.keys()]).toEqual(["base", "ember"]);
    expect(recipe.setups.get("dark")).toEqual({
      garments: ["black"],
      order: [{ plate: "ember" }, "flash", { plate: "base" }, "cool-down"],
      yuleNielsen: 1,
    });
  });
});

describe("with a shop", () => {
  const shop = `shop: 1
press: { stations: 8, area: { width: 16 in, height: 40 cm } }
meshes: { fine: { count: 90/cm, thread: 40 um }, coarse: { count: 110/in, opening: 0.1 mm, thickness: 98 um } }
inks:
  white: { colour: "#eeeeee", opacity: 50% }
  mint: { colour: "#a0e0c0", opacity: 60% }
screening: { ruling: 55 lpi, dot: line }
`;

  it("the ink library gives its inks, and the recipe's own go before them", () => {
    const { inks } = resolved(SOUND, shop);
    expect([...inks.keys()].sort()).toEqual(["ember", "mint", "white"]);
    expect(inks.get("white")).toMatchObject({ colour: labOf("#f8f8f4"), opacity: expect.closeTo(0.92, 9) });
    expect(inks.get("mint")).toMatchObject({ colour: labOf("#a0e0c0"), opacity: expect.closeTo(0.6, 9) });
  });

  it("screening is the recipe's, else the shop's, else the usual, key by key", () => {
    expect(resolved(`${SOUND}screening: { ruling: 35 lpi }\n`, shop).screening).toMatchObject({
      rulingLpi: 35,
      dot: "line",
      filmDpi: 1200,
    });
    expect(resolved(SOUND, shop).screening.rulingLpi).toBe(55);
  });

  it("press and meshes come along", () => {
    const { press, meshes } = resolved(SOUND, shop);
    expect(press).toEqual({
      stations: 8,
      flashes: 0,
      screenMm: undefined,
      misregistrationMm: 0.2,
      wetLayers: 8,
      darkPlate: "first" as const,
      areaMm: { width: 406.4, height: 400 },
    });
    expect(meshes.get("fine")).toEqual({
      count: expect.closeTo(228.6, 9),
      threadMm: expect.closeTo(0.04, 9),
      openingMm: undefined,
      thicknessMm: undefined,
    });
    expect(meshes.get("coarse")).toEqual({
      count: 110,
      threadMm: undefined,
      openingMm: 0.1,
      thicknessMm: expect.closeTo(0.098, 9),
    });
  });
});
