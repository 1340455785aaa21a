import { expect, it } from "vitest";
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

it.each([
  ["a picture whose pixels are all different", noise(97, 61, 4)],
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
  for (const _ of extractPlates(picture, plates, expected));
  const palette = paletteOf(picture);
  for (const [i, plate] of plates.entries()) {
    const out = new Uint8Array(count);
    extractFromPalette(palette, plate, out);
    expect(out, plate.name).toEqual(expected[i]);
  }
});

it("holds each colour once, and says what it takes", () => {
  const palette = paletteOf(pictureOf(3, [RED, WHITE, RED]));
  expect([...palette.entries]).toEqual([0, 1, 0]);
  expect([...palette.alphas]).toEqual([255, 255]);
  expect(paletteBytes(palette)).toBe(3 * 4 + 2 * 4 + 2 + 2 * 6 * 8);
});
