import { describe, expect, it } from "vitest";
import { parseDocument } from "../../server/language/document.ts";
import { resolveRecipe } from "../../server/language/recipe.ts";
import { comparePrints } from "../../server/render/comparison.ts";
import { makePrint } from "../../server/render/print.ts";

/** A print of 20 × 10 mm at one pixel a millimetre: the left part red, the rest white. */
async function print(redColumns: number, recipe = RECIPE) {
  const [width, height] = [20, 10];
  const data = new Uint8Array(width * height * 4).fill(255);
  for (let i = 0; i < width * height; i++) if (i % width < redColumns) data.set([216, 67, 31], i * 4);
  const info = { widthMm: width, heightMm: height, ppi: 25.4, vector: false };
  const artwork = { picture: { width, height, data }, ppi: 25.4, info, notes: [] };
  return makePrint(resolveRecipe(parseDocument("job.sep.yaml", recipe)), artwork as never);
}

const RECIPE = `recipe: 1
artwork: { file: art.png, width: 20 mm }
garments: { black: { colour: "#17171a" } }
inks:
  white: { colour: "#ffffff", opacity: 95% }
  ember: { colour: "#d8431f", opacity: 80% }
plates:
  base: { ink: white, purpose: underbase, extract: { artwork: opaque } }
  ember: { ink: ember, extract: { near: "#d8431f", within: 5 } }
setups:
  dark: { garments: [black], order: [base, flash, ember] }
`;

describe("two prints", () => {
  it("differ by what came and went, as a share and as an area", async () => {
    const { plates, garments, artworkCm2, artworkWhere } = comparePrints(await print(5), await print(9));
    // Four columns of twenty, 4 × 10 mm.
    expect(plates).toEqual([
      {
        name: "base",
        before: { coverage: 1, inkCm2: 2 },
        after: { coverage: 1, inkCm2: 2 },
        up: 0,
        down: 0,
        where: "",
      },
      {
        name: "ember",
        before: { coverage: 0.25, inkCm2: 0.5 },
        after: { coverage: 0.45, inkCm2: expect.closeTo(0.9, 9) },
        up: 0.2,
        down: 0,
        where: expect.any(String),
      },
    ]);
    expect(garments).toHaveLength(1);
    expect(garments[0]!.visibleCm2).toBeCloseTo(0.4, 9);
    expect(garments[0]!.most).toBeGreaterThan(30);
    expect([artworkCm2, artworkWhere]).toEqual([expect.closeTo(0.4, 9), expect.any(String)]);
  });

  it("are compared where one has no such plate or garment", async () => {
    const without = RECIPE.replace(/ {2}ember: \{ ink.*\n/, "").replace(", flash, ember", "");
    const more = RECIPE.replace("} }\ninks", '}, spare: { colour: "#ffffff" } }\ninks').replace(
      "garments: [black]",
      "garments: [black, spare]",
    );
    const { plates, garments } = comparePrints(await print(10, without), await print(10, more));
    expect(plates[1]).toMatchObject({
      name: "ember",
      before: undefined,
      up: 0.5,
      down: 0,
      where: "on the left",
    });
    expect(garments.map(({ garment, visibleCm2 }) => [garment, visibleCm2 === undefined])).toEqual([
      ["black", false],
      ["spare", true],
    ]);
  });
});
