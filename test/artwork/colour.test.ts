import { converter } from "culori";
import { expect, it } from "vitest";
import { readArtwork } from "../../server/artwork/artwork.ts";
import { pixel, png, scratch, tiff, words } from "./fixtures.ts";
import { damaged, displayP3, greyGamma, press, wideGamut } from "./profiles.ts";

const { put } = scratch();
const printed = { widthMm: 25.4 };
const toSrgb = converter("rgb");

/** culori's own conversion (CSS Color 4 matrices), clipped to sRGB as bytes. */
function srgb(colour: Parameters<typeof toSrgb>[0]): number[] {
  const { r, g, b } = toSrgb(colour) ?? { r: 0, g: 0, b: 0 };
  return [r, g, b].map((v) => Math.round(255 * Math.min(1, Math.max(0, v))));
}

/** Within 1/255 a channel: the colour engine rounds in its own steps. */
function expectNear(seen: number[], wanted: number[]): void {
  const off = Math.max(...wanted.map((v, i) => Math.abs(v - seen[i])));
  expect(off, `${seen} against ${wanted}`).toBeLessThanOrEqual(1);
}

const RED = [200, 60, 60];
const GREEN = [60, 180, 90];

for (const [name, mode, icc] of [
  ["Display P3", "p3", displayP3()],
  ["a wide-gamut profile of 1998", "a98", wideGamut()],
] as const) {
  for (const bits of [8, 16] as const) {
    it(`converts ${bits}-bit RGB with ${name} to sRGB (culori)`, async () => {
      const row =
        bits === 8
          ? Buffer.from([...RED, ...GREEN])
          : words(
              [...RED, ...GREEN].map((v) => v * 257),
              true,
            );
      const { picture } = await readArtwork(
        put("a.png", png([row], { width: 2, bits, type: 2, icc })),
        printed,
      );
      for (const [x, [r, g, b]] of [RED, GREEN].entries()) {
        expectNear(pixel(picture, x), srgb({ mode, r: r / 255, g: g / 255, b: b / 255 }));
      }
    });
  }
}

it("takes RGB without a profile as sRGB, 8 and 16 bit", async () => {
  const eight = await readArtwork(
    put("a.png", png([Buffer.from(RED)], { width: 1, bits: 8, type: 2 })),
    printed,
  );
  expect(pixel(eight.picture, 0)).toEqual([...RED, 255]);
  const row = words(
    RED.map((v) => v * 257),
    true,
  );
  const deep = await readArtwork(put("b.png", png([row], { width: 1, bits: 16, type: 2 })), printed);
  expect(pixel(deep.picture, 0)).toEqual([...RED, 255]);
});

for (const bits of [8, 16] as const) {
  for (const type of [0, 4] as const) {
    it(`applies the profile of ${bits}-bit grey${type === 4 ? " with alpha" : ""} (IEC 61966-2-1 by hand)`, async () => {
      // Grey 128 under gamma 1.8: linear 0.2892, in sRGB 1.055 × 0.2892^(1/2.4) − 0.055 = 0.574 = 146/255.
      const values = type === 4 ? [128, 77] : [128];
      const row =
        bits === 8
          ? Buffer.from(values)
          : words(
              values.map((v) => v * 257),
              true,
            );
      const file = put("a.png", png([row], { width: 1, bits, type, icc: greyGamma(1.8) }));
      const { picture } = await readArtwork(file, printed);
      expectNear(pixel(picture, 0), [146, 146, 146]);
      expect(pixel(picture, 0)[3]).toBe(type === 4 ? 77 : 255);
    });
  }
}

it("rounds 16 bits to the nearest 8", async () => {
  // 257 × 10 ± 128 are the last values that are nearer to 10 than to 9 and 11.
  const row = words([2570 - 129, 2570 - 128, 2570 + 128, 2570 + 129, 65535], true);
  const { picture } = await readArtwork(put("a.png", png([row], { width: 5, bits: 16, type: 0 })), printed);
  expect([0, 1, 2, 3, 4].map((x) => pixel(picture, x)[0])).toEqual([9, 10, 10, 11, 255]);
});

// White and black at the ends of L*, so that no black point compensation enters; cyan and magenta invented.
const testPress = press((c, m, y, k) => [
  Math.round(100 * (1 - k) * (1 - 0.45 * c) * (1 - 0.5 * m) * (1 - 0.1 * y)),
  (1 - k) * (70 * m - 35 * c),
  (1 - k) * (80 * y - 45 * c),
]);

for (const bits of [8, 16] as const) {
  it(`converts ${bits}-bit CMYK by its embedded profile (culori on the profile's L*a*b*)`, async () => {
    const inks = [0, 0, 0, 0, 255, 0, 0, 0, 0, 255, 0, 0, 0, 0, 0, 255];
    const data = bits === 8 ? Buffer.from(inks) : words(inks.map((v) => v * 257));
    const file = put(
      "a.tif",
      tiff(data, { width: 4, height: 1, samples: 4, bits, photometric: 5, icc: testPress }),
    );
    const { picture, info, notes } = await readArtwork(file, printed);
    expectNear(pixel(picture, 0), [255, 255, 255]);
    expectNear(pixel(picture, 1), srgb({ mode: "lab", l: 55, a: -35, b: -45 }));
    expectNear(pixel(picture, 2), srgb({ mode: "lab", l: 50, a: 70, b: 0 }));
    expectNear(pixel(picture, 3), [0, 0, 0]);
    expect(info.profile).toBe("Test press");
    expect(notes).toEqual([]);
  });
}

it("reads CMYK without a profile, and says that colours may be off", async () => {
  const data = Buffer.from([0, 0, 0, 0, 0, 255, 0, 0]);
  const file = put("a.tif", tiff(data, { width: 2, height: 1, samples: 4, photometric: 5 }));
  const { picture, notes } = await readArtwork(file, printed);
  expect(pixel(picture, 0)).toEqual([255, 255, 255, 255]);
  const [r, g, b] = pixel(picture, 1);
  expect(r > 200 && g < 80 && b > 80 && b < 180, `magenta is ${[r, g, b]}`).toBe(true);
  expect(notes).toEqual([expect.stringContaining("CMYK without a colour profile")]);
});

for (const [what, bits, samples, photometric, icc] of [
  ["8-bit RGB", 8, 3, 2, damaged(displayP3())],
  ["16-bit RGB", 16, 3, 2, damaged(displayP3())],
  ["16-bit grey", 16, 1, 1, damaged(greyGamma(1.8))],
  ["16-bit RGB with a grey profile", 16, 3, 2, greyGamma(1.8)],
] as const) {
  it(`takes ${what} as sRGB where the profile is of no use, and says so`, async () => {
    const values = [200, 60, 90].slice(0, samples);
    const data = bits === 8 ? Buffer.from(values) : words(values.map((v) => v * 257));
    const { picture, notes } = await readArtwork(
      put("a.tif", tiff(data, { width: 1, height: 1, samples, bits, photometric, icc })),
      printed,
    );
    expect(pixel(picture, 0)).toEqual([...(samples === 1 ? [200, 200, 200] : values), 255]);
    expect(notes).toEqual([expect.stringContaining("profile is damaged or of the wrong kind")]);
  });
}

it("says so where a PNG's profile is so damaged that the decoder drops it", async () => {
  const icc = damaged(displayP3());
  const file = put("a.png", png([Buffer.from(RED)], { width: 1, bits: 8, type: 2, icc }));
  const { picture, notes } = await readArtwork(file, printed);
  expect(pixel(picture, 0)).toEqual([...RED, 255]);
  expect(notes).toEqual([expect.stringContaining("profile is damaged")]);
});

for (const [coding, photometric, bits, data, big] of [
  ["8-bit CIELAB", 8, 8, Buffer.from([128, 0, 0, 128, 50, 256 - 60, 128, 256 - 30, 40]), false],
  ["8-bit ICC L*a*b*", 9, 8, Buffer.from([128, 128, 128, 128, 178, 68, 128, 98, 168]), true],
  [
    "16-bit CIELAB",
    8,
    16,
    words([128 * 257, 0, 0, 128 * 257, 50 * 256, -60 * 256, 128 * 257, -30 * 256, 40 * 256]),
    false,
  ],
] as const) {
  it(`converts ${coding} TIFF from D50 (culori)`, async () => {
    const file = put("a.tif", tiff(data, { width: 3, height: 1, samples: 3, bits, photometric, big }));
    const { picture, info } = await readArtwork(file, printed);
    const l = (128 * 100) / 255;
    expectNear(pixel(picture, 0), srgb({ mode: "lab", l, a: 0, b: 0 }));
    expectNear(pixel(picture, 1), srgb({ mode: "lab", l, a: 50, b: -60 }));
    expectNear(pixel(picture, 2), srgb({ mode: "lab", l, a: -30, b: 40 }));
    expect(info.colourSpace).toBe("lab");
  });
}

it("resamples CIELAB after conversion, where negative a* and b* do not wrap", async () => {
  const data = Buffer.from([128, 1, 255, 128, 255, 1, 128, 1, 255, 128, 255, 1]);
  const file = put("a.tif", tiff(data, { width: 4, height: 1, samples: 3, photometric: 8 }));
  const { picture } = await readArtwork(file, { widthMm: 25.4, ppi: 2 });
  expectNear(pixel(picture, 0), [119, 119, 119]);
});
