import { writeFileSync } from "node:fs";
import { join } from "node:path";
import sharp from "sharp";
import { expect, it } from "vitest";
import { readArtwork } from "../../server/artwork/artwork.ts";
import { scratch } from "../output/folders.ts";

const { fresh } = scratch();
const [WIDTH, HEIGHT] = [24, 16];

/** Four flat colours, the last of them clear. */
function pixels(): Buffer {
  const colours = [
    [216, 67, 31, 255],
    [30, 140, 60, 255],
    [250, 240, 230, 255],
    [0, 0, 0, 0],
  ] as const;
  const data = Buffer.alloc(WIDTH * HEIGHT * 4);
  for (let y = 0; y < HEIGHT; y++)
    for (let x = 0; x < WIDTH; x++)
      data.set(colours[(x < WIDTH / 2 ? 0 : 1) + (y < HEIGHT / 2 ? 0 : 2)]!, (y * WIDTH + x) * 4);
  return data;
}
const raw = { raw: { width: WIDTH, height: HEIGHT, channels: 4 } } as const;

it.each([
  ["GIF", "art.gif", () => sharp(pixels(), raw).gif().toBuffer()],
  ["AVIF", "art.avif", () => sharp(pixels(), raw).avif({ lossless: true }).toBuffer()],
] as const)("%s is read with its colours, and stays clear where it is clear", async (_, name, write) => {
  const file = join(fresh(), name);
  writeFileSync(file, await write());
  const { picture, info } = await readArtwork(file, { widthMm: 24 });
  expect([picture.width, picture.height, info.vector]).toEqual([WIDTH, HEIGHT, false]);
  const expected = pixels();
  for (let i = 0; i < WIDTH * HEIGHT; i++) {
    expect(picture.data[i * 4 + 3]).toBe(expected[i * 4 + 3]);
    if (expected[i * 4 + 3] === 0) continue;
    // AVIF's colours go through YCbCr.
    for (let c = 0; c < 3; c++)
      expect(Math.abs(picture.data[i * 4 + c]! - expected[i * 4 + c]!)).toBeLessThanOrEqual(2);
  }
});

it("of a GIF that moves the first frame is the artwork", async () => {
  const file = join(fresh(), "moving.gif");
  const red = Buffer.alloc(8 * 8 * 4, Buffer.from([216, 67, 31, 255]));
  const green = Buffer.alloc(8 * 8 * 4, Buffer.from([30, 140, 60, 255]));
  const frames = { raw: { width: 8, height: 16, channels: 4, pageHeight: 8 } } as const;
  writeFileSync(
    file,
    await sharp(Buffer.concat([red, green]), frames)
      .gif()
      .toBuffer(),
  );
  const { picture } = await readArtwork(file, { widthMm: 8 });
  expect([picture.width, picture.height]).toEqual([8, 8]);
  expect([...picture.data.subarray(0, 3)]).toEqual([216, 67, 31]);
});
