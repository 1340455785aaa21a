import sharp from "sharp";
import { expect, it } from "vitest";
import { readArtwork } from "../../server/artwork/artwork.ts";
import { pixel, png, scratch, tiff, words } from "./fixtures.ts";

const { put } = scratch();
const printed = { widthMm: 25.4 };

async function pixelsOf(name: string, bytes: Uint8Array, count: number): Promise<number[][]> {
  const { picture } = await readArtwork(put(name, bytes), printed);
  return Array.from({ length: count }, (_, x) => pixel(picture, x));
}

it("expands a 2-bit palette PNG with its transparency (ISO/IEC 15948 §11.3.2)", async () => {
  const palette = [255, 0, 0, 0, 255, 0, 0, 0, 255, 9, 8, 7];
  const file = png([Buffer.from([0b00011011])], { width: 4, bits: 2, type: 3, palette, trns: [255, 128, 0] });
  expect(await pixelsOf("a.png", file, 4)).toEqual([
    [255, 0, 0, 255],
    [0, 255, 0, 128],
    [0, 0, 255, 0],
    [9, 8, 7, 255],
  ]);
});

it("makes a PNG's transparent colour transparent (ISO/IEC 15948 §11.3.2)", async () => {
  const file = png([Buffer.from([1, 2, 3, 4, 5, 6])], {
    width: 2,
    bits: 8,
    type: 2,
    trns: [0, 1, 0, 2, 0, 3],
  });
  expect(await pixelsOf("a.png", file, 2)).toEqual([
    [1, 2, 3, 0],
    [4, 5, 6, 255],
  ]);
});

it("expands 1-bit grey, black or white being zero (TIFF 6.0 §8)", async () => {
  const one = { width: 2, height: 1, samples: 1, bits: 1 } as const;
  const ink = [0, 0, 0, 255];
  const paper = [255, 255, 255, 255];
  expect(await pixelsOf("a.tif", tiff(Buffer.from([0x80]), { ...one, photometric: 0 }), 2)).toEqual([
    ink,
    paper,
  ]);
  expect(await pixelsOf("b.tif", tiff(Buffer.from([0x80]), { ...one, photometric: 1 }), 2)).toEqual([
    paper,
    ink,
  ]);
});

it("keeps grey with alpha straight, 8 and 16 bit", async () => {
  const eight = png([Buffer.from([200, 51, 10, 0])], { width: 2, bits: 8, type: 4 });
  const deep = png(
    [
      words(
        [200, 51, 10, 0].map((v) => v * 257),
        true,
      ),
    ],
    { width: 2, bits: 16, type: 4 },
  );
  const wanted = [
    [200, 200, 200, 51],
    [10, 10, 10, 0],
  ];
  expect(await pixelsOf("a.png", eight, 2)).toEqual(wanted);
  expect(await pixelsOf("b.png", deep, 2)).toEqual(wanted);
});

it("keeps the colour under alpha 0 in PNG, TIFF and lossless WebP", async () => {
  const colours = [10, 20, 30, 0, 40, 50, 60, 128];
  const wanted = [colours.slice(0, 4), colours.slice(4)];
  const rgba = { width: 2, height: 1, samples: 4, photometric: 2, extra: 2 };
  const webp = sharp(Buffer.from(colours), { raw: { width: 2, height: 1, channels: 4 } });
  expect(await pixelsOf("a.png", png([Buffer.from(colours)], { width: 2, bits: 8, type: 6 }), 2)).toEqual(
    wanted,
  );
  expect(await pixelsOf("a.tif", tiff(Buffer.from(colours), rgba), 2)).toEqual(wanted);
  const lossless = await webp.webp({ lossless: true, exact: true }).toBuffer();
  expect(await pixelsOf("a.webp", lossless, 2)).toEqual(wanted);
});

it("makes a TIFF's premultiplied colour straight (TIFF 6.0 §18, ExtraSamples 1)", async () => {
  const file = tiff(Buffer.from([64, 32, 0, 128]), {
    width: 1,
    height: 1,
    samples: 4,
    photometric: 2,
    extra: 1,
  });
  const [[r, g, b, a]] = await pixelsOf("a.tif", file, 1);
  // 64 ÷ 128 × 255 = 127.5 and 63.75; the decoder drops the fraction.
  expect([Math.abs(r - 127.5) <= 1, Math.abs(g - 63.75) <= 1, b, a]).toEqual([true, true, 0, 128]);
});

it("reads 16-bit RGB with alpha from a big-endian TIFF", async () => {
  const data = words(
    [1, 2, 3, 4].map((v) => v * 40 * 257),
    true,
  );
  const file = tiff(data, { width: 1, height: 1, samples: 4, bits: 16, photometric: 2, extra: 2, big: true });
  expect(await pixelsOf("a.tif", file, 1)).toEqual([[40, 80, 120, 160]]);
});

it("reads a flat JPEG exactly enough for its rounding", async () => {
  const flat = { width: 16, height: 16, channels: 3, background: { r: 180, g: 90, b: 40 } } as const;
  const jpeg = await sharp({ create: flat }).jpeg({ quality: 100, chromaSubsampling: "4:4:4" }).toBuffer();
  const [[r, g, b, a]] = await pixelsOf("a.jpg", jpeg, 1);
  // YCbCr rounds to whole numbers (JFIF), worth up to 2/255 in R and B.
  expect([Math.abs(r - 180) <= 2, Math.abs(g - 90) <= 1, Math.abs(b - 40) <= 2, a]).toEqual([
    true,
    true,
    true,
    255,
  ]);
});

it("uses the first page of a TIFF and the first frame of a WebP, and says so", async () => {
  const pages = tiff([Buffer.from([10]), Buffer.from([20])], {
    width: 1,
    height: 1,
    samples: 1,
    photometric: 1,
  });
  const frame = (background: string) =>
    sharp({ create: { width: 4, height: 3, channels: 3, background } })
      .png()
      .toBuffer();
  const frames = [await frame("#f00"), await frame("#00f")];
  const webp = await sharp(frames, { join: { animated: true } })
    .webp({ lossless: true })
    .toBuffer();
  for (const [name, bytes, first, height] of [
    ["a.tif", pages, [10, 10, 10, 255], 1],
    ["a.webp", webp, [255, 0, 0, 255], 3],
  ] as const) {
    const { picture, notes, info } = await readArtwork(put(name, bytes), printed);
    expect(pixel(picture, 0)).toEqual(first);
    expect([picture.height, info.pages]).toEqual([height, 2]);
    expect(notes).toEqual(["The file holds 2 pages or frames; only the first is used."]);
  }
});
