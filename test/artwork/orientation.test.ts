import sharp from "sharp";
import { describe, expect, it } from "vitest";
import { probeArtwork, readArtwork } from "../../server/artwork/artwork.ts";
import { pixel, scratch, tiff } from "./fixtures.ts";

/** How a stored picture ABC/DEF stands upright, after EXIF 2.32 §4.6.4: where row 0 and column 0 belong. */
const UPRIGHT: Record<number, string> = {
  1: "ABC DEF", // row 0 top, column 0 left
  2: "CBA FED", // top, right
  3: "FED CBA", // bottom, right
  4: "DEF ABC", // bottom, left
  5: "AD BE CF", // left, top
  6: "DA EB FC", // right, top
  7: "FC EB DA", // right, bottom
  8: "CF BE AD", // left, bottom
};

const CELL = 8;
const GREYS = "ABCDEF";
const { put } = scratch();

/** 3 × 2 cells of 8 × 8 pixels (one JPEG block each), A to F in steps of 40. */
const stored = Buffer.alloc(3 * CELL * 2 * CELL * 3);
for (let y = 0; y < 2 * CELL; y++) {
  for (let x = 0; x < 3 * CELL; x++) {
    stored.fill(
      20 + 40 * (3 * Math.floor(y / CELL) + Math.floor(x / CELL)),
      (y * 3 * CELL + x) * 3,
      (y * 3 * CELL + x + 1) * 3,
    );
  }
}
const size = { width: 3 * CELL, height: 2 * CELL };
const plain = () => sharp(stored, { raw: { ...size, channels: 3 } });

const encoders: Record<string, (orientation: number) => Promise<Uint8Array>> = {
  jpeg: (orientation) => plain().withMetadata({ orientation }).jpeg({ quality: 100 }).toBuffer(),
  png: (orientation) => plain().withMetadata({ orientation }).png().toBuffer(),
  webp: (orientation) => plain().withMetadata({ orientation }).webp({ lossless: true }).toBuffer(),
  tiff: async (orientation) => tiff(stored, { ...size, samples: 3, photometric: 2, orientation }),
};

/** Letters of the cells, by the grey in their middle. */
function cells(picture: { width: number; height: number; data: Uint8Array }, cell: number): string {
  const rows: string[] = [];
  for (let y = cell / 2; y < picture.height; y += cell) {
    let row = "";
    for (let x = cell / 2; x < picture.width; x += cell)
      row += GREYS[Math.round((pixel(picture, x, y)[0] - 20) / 40)];
    rows.push(row);
  }
  return rows.join(" ");
}

describe.each(Object.keys(encoders))("%s", (format) => {
  it.each([1, 2, 3, 4, 5, 6, 7, 8])("stands upright from orientation %i", async (orientation) => {
    const file = put(`a.${format}`, await encoders[format](orientation));
    const { picture } = await readArtwork(file, { widthMm: 25.4 });
    expect(cells(picture, CELL)).toBe(UPRIGHT[orientation]);
    const info = await probeArtwork(file, { widthMm: 25.4 });
    expect([info.width, info.height, info.orientation]).toEqual([picture.width, picture.height, orientation]);
  });

  it("stands upright when it is resampled too", async () => {
    const file = put(`b.${format}`, await encoders[format](6));
    const { picture } = await readArtwork(file, { widthMm: 25.4, ppi: 32 });
    expect([picture.width, picture.height]).toEqual([32, 48]);
    expect(cells(picture, 16)).toBe(UPRIGHT[6]);
  });
});
