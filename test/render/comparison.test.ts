import { describe, expect, it } from "vitest";
import { colourAt, comparePrints, proofOf, sampler, VISIBLE } from "../../server/render/comparison.ts";
import { print, printWhere, RECIPE } from "./small-prints.ts";

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

describe("what two prints differ in", () => {
  it("comes and goes apart, each as a share, and is found where it lies", async () => {
    // Two columns at the left go, three at the right come.
    const [before, after] = [await printWhere((x) => x < 2), await printWhere((x) => x > 17)];
    const { plates, garments, artworkCm2, artworkWhere } = comparePrints(before, after);
    expect(plates[1]).toMatchObject({ name: "ember", up: 0.15, down: 0.1, where: "in several places" });
    expect(garments[0]!.visibleCm2).toBeCloseTo(0.5, 9);
    expect([artworkCm2, artworkWhere]).toEqual([expect.closeTo(0.5, 9), "in several places"]);

    const corner = comparePrints(await printWhere(() => false), await printWhere((x, y) => x > 15 && y > 8));
    expect(corner.plates[1]).toMatchObject({ up: 0.05, down: 0, where: "lower right" });
    expect([corner.garments[0]!.where, corner.artworkWhere]).toEqual(["lower right", "lower right"]);
  });

  it("lies where most tone came, not where most pixels changed", async () => {
    const recipe = RECIPE.replace(
      '{ near: "#d8431f", within: 5 }',
      "{ hue: [0, 80], chroma: [2, 200] }, strength: chroma",
    );
    // Four columns of full red at the left, twelve of a faint one at the right.
    const after = await printWhere((x) => x < 4 || (x > 8 && [255, 247, 244]), { recipe });
    const [, ember] = comparePrints(await printWhere(() => false, { recipe }), after).plates;
    expect(ember!.where).toBe("on the left");
    expect(ember!.up).toBeGreaterThan(0.2);
    expect(ember!.up).toBeLessThan(0.25);
  });

  it("is not told of artwork whose proportions changed", async () => {
    const { artworkCm2, artworkWhere } = comparePrints(
      await printWhere((x) => x < 2),
      await printWhere((x) => x < 2, { heightMm: 12 }),
    );
    expect([artworkCm2, artworkWhere]).toEqual([undefined, ""]);
  });

  it("is nothing where nothing does", async () => {
    const [one, same] = [await print(5), await print(5)];
    for (const other of [one, same]) {
      const { plates, garments, artworkCm2, artworkWhere } = comparePrints(one, other);
      for (const { up, down, where } of plates) expect([up, down, where]).toEqual([0, 0, ""]);
      expect(garments[0]).toMatchObject({ visibleCm2: 0, most: 0, where: "" });
      expect(garments[0]!.before).toEqual(garments[0]!.after);
      expect([artworkCm2, artworkWhere]).toEqual([0, ""]);
    }
  });

  it("is found between pictures of other sizes, artwork excepted", async () => {
    const corner = (x: number, y: number) => x > 15 && y > 8;
    for (const [was, is] of [
      [1, 2],
      [2, 1],
    ] as const) {
      const [before, after] = [
        await printWhere(() => false, { scale: was }),
        await printWhere(corner, { scale: is }),
      ];
      const there = comparePrints(before, after);
      expect(there.plates[1]).toMatchObject({ up: 0.05, down: 0, where: "lower right" });
      expect(there.garments[0]!.visibleCm2).toBeCloseTo(0.1, 9);
      const back = comparePrints(after, before);
      expect(back.plates[1]!.up).toBe(0);
      // Whole millimetres: no pixel lies across an edge.
      expect(back.plates[1]!.down).toBeCloseTo(0.05, 9);
      expect([there.artworkCm2, there.artworkWhere]).toEqual([undefined, ""]);
      const same = comparePrints(await printWhere(corner, { scale: was }), after);
      expect(same.plates[1]).toMatchObject({ up: 0, down: 0 });
    }
  });

  it("of a plate that is gone is all that went", async () => {
    const without = RECIPE.replace(/ {2}ember: \{ ink.*\n/, "").replace(", flash, ember", "");
    const { plates } = comparePrints(await print(10), await print(10, without));
    expect(plates.map(({ name }) => name)).toEqual(["base", "ember"]);
    expect(plates[1]).toMatchObject({ after: undefined, up: 0, down: 0.5, where: "on the left" });
  });

  it("counts as visible from ΔE00 2 on alone, though the most is told below it too", async () => {
    const inked = (L: number) =>
      RECIPE.replace('ember: { colour: "#d8431f"', `ember: { colour: lab(${L} 60 50)`);
    const near = comparePrints(await print(5, inked(50)), await print(5, inked(51)));
    expect(near.garments[0]!.most).toBeGreaterThan(0.5);
    expect(near.garments[0]!.most).toBeLessThan(VISIBLE);
    expect([near.garments[0]!.visibleCm2, near.garments[0]!.where]).toEqual([0, ""]);
    const far = comparePrints(await print(5, inked(50)), await print(5, inked(56)));
    expect(far.garments[0]!.most).toBeGreaterThan(VISIBLE);
    expect(far.garments[0]!.visibleCm2).toBeCloseTo(0.5, 9);
    expect(far.garments[0]!.where).toBe("on the left");
  });

  it("of a garment is told for each setup that prints on it, of this print's own first", async () => {
    const two = RECIPE.replace("setups:\n", "setups:\n  plain: { garments: [black], order: [ember] }\n");
    const { garments } = comparePrints(await print(5), await print(5, two));
    expect(
      garments.map(({ setup, before, after }) => [setup, before !== undefined, after !== undefined]),
    ).toEqual([
      ["plain", false, true],
      ["dark", true, true],
    ]);
    const gone = comparePrints(await print(5, two), await print(5)).garments;
    expect(
      gone.map(({ setup, before, after }) => [setup, before !== undefined, after !== undefined]),
    ).toEqual([
      ["dark", true, true],
      ["plain", true, false],
    ]);
    expect(proofOf(await print(5), "black", "plain")).toBeUndefined();
  });

  it("is against the artwork: a print without its red is further from it", async () => {
    const without = RECIPE.replace(", flash, ember", "");
    const { before, after } = comparePrints(await print(20), await print(20, without)).garments[0]!;
    expect(after!.mean).toBeGreaterThan(before!.mean + 10);
  });
});

it("a pixel's place in a picture of another size is that of its middle", () => {
  const of = (width: number, height: number) => ({ picture: { width, height } }) as never;
  for (const [w, h, u, v] of [
    [20, 10, 20, 10],
    [20, 10, 40, 20],
    [40, 20, 20, 10],
    [30, 16, 20, 11],
    [7, 5, 13, 9],
  ] as const) {
    const at = sampler(of(w, h), of(u, v));
    for (let y = 0; y < v; y++)
      for (let x = 0; x < u; x++) {
        const [px, py] = [Math.floor(((2 * x + 1) * w) / (2 * u)), Math.floor(((2 * y + 1) * h) / (2 * v))];
        expect(at(y * u + x)).toBe(py * w + px);
      }
  }
});

it("a colour is 0xrrggbb of its three bytes", () => {
  expect(colourAt(Uint8Array.of(9, 9, 9, 0x12, 0x34, 0xff), 3)).toBe(0x1234ff);
});
