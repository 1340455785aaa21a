import sharp from "sharp";
import { expect, it } from "vitest";
import { bytesPerRow } from "../../../server/engine/screen/bits.ts";
import { encodeG4, G4Encoder } from "../../../server/output/films/g4.ts";
import { tiffOf } from "../../../server/output/films/tiff.ts";
import { random } from "../../property.ts";

// Runs that use every part of the code tables: short, long, beyond 2560, repeated rows, single pixels.
it.each([
  [64, 20, 3, 0],
  [1728, 40, 80, 0.2],
  [9001, 30, 6000, 0],
  [777, 90, 20, 0.8],
  [3000, 60, 700, 0.5],
  [5300, 8, 2700, 0],
  [1, 1, 1, 0],
  [20_000, 4, 9000, 0],
])(
  "a decoder reads back what was coded: %i × %i pixels, runs up to %i",
  async (width, height, longest, repeated) => {
    const next = random(width);
    const stride = bytesPerRow(width);
    const bits = new Uint8Array(stride * height);
    for (let y = 0; y < height; y++) {
      if (y > 0 && next() < repeated) {
        bits.copyWithin(y * stride, (y - 1) * stride, y * stride);
        continue;
      }
      let ink = next() < 0.5;
      for (let x = 0; x < width; ) {
        const run = 1 + Math.floor(next() * longest);
        for (let k = x; ink && k < Math.min(width, x + run); k++)
          bits[y * stride + (k >> 3)]! |= 0x80 >> (k & 7);
        x += run;
        ink = !ink;
      }
    }
    const half = Math.ceil(height / 2);
    const strips = [
      encodeG4(bits.subarray(0, half * stride), width, half),
      ...(height > half ? [encodeG4(bits.subarray(half * stride), width, height - half)] : []),
    ];
    const file = tiffOf({
      width,
      height,
      dpi: 1200,
      rowsPerStrip: half,
      strips,
      description: "gold – ½",
      software: "test",
    });
    const { data, info } = await sharp(file).toColourspace("b-w").raw().toBuffer({ resolveWithObject: true });
    expect([info.width, info.height]).toEqual([width, height]);
    let wrong = 0;
    for (let y = 0; y < height; y++)
      for (let x = 0; x < width; x++) {
        const ink = (bits[y * stride + (x >> 3)]! >> (7 - (x & 7))) & 1;
        if ((data[(y * width + x) * info.channels]! < 128 ? 1 : 0) !== ink) wrong++;
      }
    expect(wrong).toBe(0);
  },
);

it("comes out the same in pieces as at once", () => {
  const next = random(3);
  const [width, height] = [203, 60];
  const stride = bytesPerRow(width);
  const bits = Uint8Array.from(
    { length: stride * height },
    (_, i) =>
      // What fills a row up to a whole byte is clear.
      (i % stride === stride - 1 ? 0xe0 : 0xff) & (next() < 0.4 ? Math.floor(next() * 256) : 0),
  );
  const encoder = new G4Encoder(width);
  for (const [from, to] of [
    [0, 1],
    [1, 40],
    [40, 60],
  ] as const)
    encoder.rows(bits.subarray(from * stride, to * stride), to - from);
  expect(encoder.finish()).toEqual(encodeG4(bits, width, height));
});

it("rows like those above are a bit for each change, and one more (T.6, 2.2.3 and 2.4.1.1)", () => {
  // 16 white rows: V0 each, then the end of the block, twice 000000000001.
  expect([...encodeG4(new Uint8Array(8 * 16), 64, 16)]).toEqual([0xff, 0xff, 0x00, 0x10, 0x01]);
  // Two rows of 8 white, 8 black and 48 white: horizontal mode 001, white 8 10011, black 8 000101, V0; then three V0.
  const row = [0, 0xff, 0, 0, 0, 0, 0, 0];
  expect([...encodeG4(Uint8Array.from([...row, ...row]), 64, 2)]).toEqual([
    0b00110011, 0b00010111, 0b11000000, 0b00000100, 0b00000000, 0b01000000,
  ]);
});
