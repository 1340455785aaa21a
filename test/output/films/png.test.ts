import * as zlib from "node:zlib";
import sharp from "sharp";
import { describe, expect, it } from "vitest";
import { filmPng } from "../../../server/output/films/png.ts";

/** 20 × 3 pixels, each row behind its filter's number 0; a bit that is not set is ink. */
const ROWS = Uint8Array.of(0, 0x7f, 0xff, 0xf0, 0, 0xff, 0xff, 0xf0, 0, 0xff, 0xff, 0xe0);
const DPI = 600;
const png = filmPng(20, 3, DPI, zlib.deflateSync(ROWS), "ember — “1/2”");

/** Chunks by ISO/IEC 15948: length, type, data and their CRC-32. */
function chunks(bytes: Uint8Array) {
  const file = Buffer.from(bytes);
  expect([...file.subarray(0, 8)]).toEqual([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a]);
  const found: [string, Buffer][] = [];
  for (let at = 8; at < file.length; ) {
    const length = file.readUInt32BE(at);
    const data = file.subarray(at + 8, at + 8 + length);
    found.push([file.toString("latin1", at + 4, at + 8), data]);
    const sum = file.readUInt32BE(at + 8 + length);
    // Node's own came with 20.15.
    if ("crc32" in zlib) expect(sum).toBe(zlib.crc32(file.subarray(at + 4, at + 8 + length)));
    at += length + 12;
  }
  return found;
}

describe("a film as PNG", () => {
  it("has the chunks that it needs, in their order, each with its sum", () => {
    expect(chunks(png).map(([type]) => type)).toEqual(["IHDR", "pHYs", "iTXt", "IDAT", "IEND"]);
  });

  it("is one bit a pixel, grey, upright", () => {
    const [[, header], [, density], [, text], [, data]] = chunks(png) as [
      [string, Buffer],
      [string, Buffer],
      [string, Buffer],
      [string, Buffer],
    ];
    expect([header.readUInt32BE(0), header.readUInt32BE(4), ...header.subarray(8)]).toEqual([
      20, 3, 1, 0, 0, 0, 0,
    ]);
    // 600 dots to 25.4 mm are 23622 to the metre.
    expect([density.readUInt32BE(0), density.readUInt32BE(4), density[8]]).toEqual([23622, 23622, 1]);
    expect(text.toString("utf8")).toBe("Description\0\0\0\0\0ember — “1/2”");
    expect([...zlib.inflateSync(data)]).toEqual([...ROWS]);
  });

  it("is read by others with its ink where it was", async () => {
    const { data, info } = await sharp(png).toColourspace("b-w").raw().toBuffer({ resolveWithObject: true });
    const ink = [...data.entries()].filter(([, v]) => v === 0).map(([i]) => i / info.channels);
    expect([info.width, info.height, ink]).toEqual([20, 3, [0, 59]]);
    expect((await sharp(png).metadata()).density).toBe(DPI);
  });
});
