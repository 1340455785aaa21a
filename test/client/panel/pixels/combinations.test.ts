import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { combinationsOf } from "../../../../client/panel/pixels/combinations.ts";
import { type ProofSpec, printRows } from "../../../../client/panel/pixels/render.ts";

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
        for (const [p, tones] of plates.entries())
          expect(Array.from(found.ofPixel.subarray(0, pixels), (c) => texts[p]![c])).toEqual(tones);
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

  it("are printed as pixels are, whichever ink, garment or station was another one before", () => {
    const inks = [20, 50, 80].map((L) => ({ colour: { L, a: 30, b: -20 }, opacity: 0.7 }));
    const printed = fc
      .record({
        L: fc.constantFrom(10, 95),
        inks: fc.array(fc.constantFrom(...inks), { minLength: 3, maxLength: 3 }),
        stations: fc.constantFrom([0, 1, 2], [2, 1, 0], [0, 1], [0, 1, 0, 2], [0, 7]),
      })
      .map(
        ({ L, inks, stations }): ProofSpec => ({
          source: "now",
          conditions: { garment: { L, a: 0, b: 0 }, n: 1, compensated: true, smallestDot: 0 },
          stations: stations.map((p) => ({ plate: `p${p}`, ink: inks[p % 3]! })),
        }),
      );
    const plates = named([
      [0, 9, 0, 200, 255, 0],
      [0, 0, 80, 80, 255, 255],
      [40, 0, 80, 0, 1, 255],
    ]);
    fc.assert(
      fc.property(fc.array(printed, { minLength: 2, maxLength: 6 }), (prints) => {
        const combinations = combinationsOf(plates, 6, 6)!;
        for (const print of prints) {
          const whole = new Uint8ClampedArray(6 * 4);
          printRows({ plates }, print, whole);
          const colours = combinations.print(print);
          const pixels = Array.from(combinations.ofPixel, (c) => colours[c]);
          expect(pixels).toEqual([...new Uint32Array(whole.buffer)]);
        }
      }),
      { seed: 20_050_103, numRuns: 200 },
    );
  });
});
