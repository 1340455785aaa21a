import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { combinationsOf } from "../../../../client/panel/pixels/combinations.ts";

/** Few tones, so that combinations come again, in runs and apart. */
const plate = (pixels: number) =>
  fc.array(fc.constantFrom(0, 1, 254, 255), { minLength: pixels, maxLength: pixels });
const picture = fc
  .tuple(fc.integer({ min: 1, max: 300 }), fc.integer({ min: 0, max: 5 }))
  .chain(([pixels, plates]) =>
    fc.record({
      pixels: fc.constant(pixels),
      plates: fc.array(plate(pixels), { minLength: plates, maxLength: plates }),
    }),
  );
const named = (plates: number[][]) => new Map(plates.map((tones, p) => [`p${p}`, Uint8Array.from(tones)]));

describe("combinations of tones", () => {
  it("give every pixel its tones back, and each is listed once", () => {
    fc.assert(
      fc.property(picture, ({ pixels, plates }) => {
        const found = combinationsOf(named(plates), pixels, pixels)!;
        const texts = plates.map((_, p) => found.plates.get(`p${p}`)!);
        for (let i = 0; i < pixels; i++)
          for (const [p, tones] of plates.entries()) expect(texts[p]![found.ofPixel[i]!]).toBe(tones[i]);
        const listed = Array.from({ length: found.count }, (_, c) => texts.map((tones) => tones[c]).join());
        expect(new Set(listed).size).toBe(found.count);
        expect(new Set(found.ofPixel).size).toBe(found.count);
      }),
      { seed: 20_050_102, numRuns: 200 },
    );
  });

  it("are found across the blocks that are hashed together", () => {
    const tones = Uint8Array.from({ length: 20_000 }, (_, i) => Math.floor(i / 4000) * 50);
    const found = combinationsOf(new Map([["a", tones]]), tones.length, 10)!;
    expect([...found.plates.get("a")!]).toEqual([0, 50, 100, 150, 200]);
    expect(found.ofPixel[19_999]).toBe(4);
  });

  it("are given up where there are more than asked for", () => {
    const tones = Uint8Array.from({ length: 200 }, (_, i) => i);
    const plates = new Map([["a", tones]]);
    expect(combinationsOf(plates, 200, 199)).toBeUndefined();
    expect(combinationsOf(plates, 200, 200)?.count).toBe(200);
  });
});
