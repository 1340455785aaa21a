import { expect, it } from "vitest";
import { ColourTable } from "../../../server/engine/extract/colour-table.ts";
import { extractPlates } from "../../../server/engine/extract/extract.ts";
import { extractFromPalette, paletteBytes, paletteOf } from "../../../server/engine/extract/palette.ts";
import type { Extraction, PlatePlan } from "../../../server/engine/plan.ts";
import type { Picture } from "../../../server/engine/raster.ts";
import { random } from "../../property.ts";
import { CLEAR, pictureOf, RED, WHITE } from "../pictures.ts";

const plates: PlatePlan[] = (
  [
    { by: "artwork" },
    { by: "hue", from: 350, to: 60, fade: 20 },
    { by: "lightness", from: 90, to: 100, fade: 60 },
    { by: "near", colour: { L: 50, a: 20, b: -10 }, within: 20, fade: 30 },
    {
      by: "any",
      of: [
        {
          by: "all",
          of: [
            { by: "lightness", from: 40, to: 90, fade: 5 },
            { by: "chroma", from: 10, to: 80, fade: 9 },
          ],
        },
        { by: "except", of: { by: "opacity", from: 0, to: 60, fade: 10 } },
      ],
    },
  ] as Extraction[]
).flatMap((extract, i) => [
  { name: `flat-${i}`, extract, strength: { by: "flat" } as const },
  { name: `chroma-${i}`, extract, strength: { by: "chroma", full: 60 } as const },
]);

function noise(width: number, height: number, seed: number): Picture {
  const next = random(seed);
  const data = Uint8Array.from({ length: width * height * 4 }, () => Math.floor(next() * 256));
  return { width, height, data };
}

/** From black to red, and from white to blue below it, half of them soft. */
function gradient(width: number, height: number): Picture {
  const data = new Uint8Array(width * height * 4);
  for (let i = 0; i < width * height; i++) {
    const [x, y] = [i % width, Math.floor(i / width)];
    const v = Math.round((x * 255) / width);
    data.set(y % 2 === 0 ? [v, y, 0, 255] : [255 - v, 255 - v, 255 - y, 200], i * 4);
  }
  return { width, height, data };
}

it.each([
  ["a picture whose pixels are all different", noise(97, 61, 4)],
  ["a picture of few hues, whole blocks of it outside of ranges", gradient(120, 40)],
  [
    "a picture of one colour",
    pictureOf(
      4,
      Array.from({ length: 16 }, () => RED),
    ),
  ],
  ["a picture of one clear pixel", pictureOf(1, [CLEAR])],
])("gives the tones of extractPlates, byte for byte: %s", (_what, picture) => {
  const count = picture.width * picture.height;
  const expected = plates.map(() => new Uint8Array(count));
  for (const _ of extractPlates(picture, plates, expected, new ColourTable(plates.length)));
  const palette = paletteOf(picture);
  for (const [i, plate] of plates.entries()) {
    const out = new Uint8Array(count);
    extractFromPalette(palette, plate, out);
    expect(out, plate.name).toEqual(expected[i]);
  }
});

it("gives them too where differences are remembered, from one width of a range to the next", () => {
  const picture = noise(83, 40, 7);
  const count = picture.width * picture.height;
  const palette = paletteOf(picture);
  const near = { L: 50, a: 20, b: -10 };
  const differences = new Float64Array(palette.colours.length).fill(Number.NaN);
  let known = 0;
  for (const within of [4, 7, 12, 8]) {
    const plate: PlatePlan = {
      name: "near",
      extract: { by: "near", colour: near, within, fade: 6 },
      strength: { by: "flat" },
    };
    const [fresh, remembered] = [new Uint8Array(count), new Uint8Array(count)];
    extractFromPalette(palette, plate, fresh);
    extractFromPalette(palette, plate, remembered, (from) => {
      expect(from).toEqual(near);
      return differences;
    });
    expect(remembered, `within ${within}`).toEqual(fresh);
    const now = differences.filter((difference) => !Number.isNaN(difference)).length;
    // A wider range asks about more colours, a narrower one about none that is not known.
    expect(now).toBeGreaterThanOrEqual(known);
    known = now;
  }
  expect(known).toBeGreaterThan(0);
  expect(known).toBeLessThan(palette.colours.length);
  // And what is remembered is what counts.
  differences.fill(1);
  const all = new Uint8Array(count);
  const wide: Extraction = { by: "near", colour: near, within: 60, fade: 0 };
  extractFromPalette(palette, { name: "", extract: wide, strength: { by: "flat" } }, all, () => differences);
  expect([...all]).toEqual([...palette.entries].map((entry) => palette.alphas[entry]));
});

it("holds each colour once, and says what it takes", () => {
  const palette = paletteOf(pictureOf(3, [RED, WHITE, RED]));
  const [red, white] = palette.entries;
  expect([...palette.entries]).toEqual([red, white, red]);
  expect([red, white].sort()).toEqual([0, 1]);
  expect(palette.described.L[white!]).toBeCloseTo(100, 2);
  expect([...palette.alphas]).toEqual([255, 255]);
  // Entries, colours, alphas and six columns.
  expect(paletteBytes(palette)).toBe(3 * 4 + 2 * 4 + 2 + 2 * 6 * 8);
});
